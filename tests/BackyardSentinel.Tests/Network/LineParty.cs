namespace BackyardSentinel.Network;

/// <summary>One of those whom the service talks with, over a line that can be made bad.</summary>
internal abstract class LineParty : IAsyncDisposable
{
    public LogLines Log { get; } = new();

    /// <summary>By what the log tells that it is well again.</summary>
    public abstract string WellAgain { get; }

    /// <summary>Begins to talk.</summary>
    public abstract Task StartAsync();

    /// <summary>Something more is to be told.</summary>
    public abstract Task SendAsync(int number);

    /// <summary>All that was to be told has been, and what stands at the other end is what should.</summary>
    public abstract bool IsRight { get; }

    /// <summary>What came more than once, where something was sent again.</summary>
    public abstract int Repeated { get; }

    public virtual ValueTask DisposeAsync()
    {
        Log.Dispose();
        return ValueTask.CompletedTask;
    }
}
