namespace BackyardSentinel.Web.SetUp;

/// <summary>Looks beside everything else, one look at a time, and keeps what it found for a minute.</summary>
/// <param name="look">Looks.</param>
/// <param name="time">The clock.</param>
internal sealed class SetUpLooks(Func<CancellationToken, Task<SetUpLook>> look, TimeProvider time)
{
    private static readonly TimeSpan Kept = TimeSpan.FromMinutes(1);

    private readonly Lock _gate = new();
    private Task<SetUpLook>? _last;
    private DateTimeOffset _began;

    /// <summary>The last look, where it is not older than a minute, else a new one.</summary>
    public Task<SetUpLook> LatestAsync()
    {
        lock (_gate)
        {
            var now = time.GetUtcNow();
            if (_last is null || (_last.IsCompleted && (now - _began > Kept || !_last.IsCompletedSuccessfully)))
                // Not bound to whoever asks: others may wait for the same look.
                (_last, _began) = (Task.Run(() => look(CancellationToken.None)), now);
            return _last;
        }
    }
}
