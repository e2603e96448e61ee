namespace BackyardSentinel.Network;

/// <summary>Knows whether a request is under way.</summary>
internal sealed class BusyHandler(HttpMessageHandler inner) : DelegatingHandler(inner)
{
    private int _busy;

    public bool IsBusy => Volatile.Read(ref _busy) > 0;

    protected override async Task<HttpResponseMessage> SendAsync(HttpRequestMessage request, CancellationToken cancellationToken)
    {
        Interlocked.Increment(ref _busy);
        try
        {
            return await base.SendAsync(request, cancellationToken);
        }
        finally
        {
            Interlocked.Decrement(ref _busy);
        }
    }
}
