namespace BackyardSentinel.Mqtt;

/// <summary>
/// What waited at the broker when a connection began: it comes at once, and the rest of a long queue as soon as what came
/// is acknowledged. It is over with the first pause that is not ours.
/// </summary>
/// <param name="connection">The number of the connection since the start.</param>
/// <param name="time">The clock of waits.</param>
internal sealed class OpeningBurst(int connection, TimeProvider time)
{
    /// <summary>The broker has nothing more when nothing has come for so long (assumed: many times the way to a broker and back).</summary>
    public static readonly TimeSpan Pause = TimeSpan.FromSeconds(5);

    /// <summary>Longer than a long queue takes on a slow card (assumed); where sensors never pause it is then over too.</summary>
    private static readonly TimeSpan Longest = TimeSpan.FromMinutes(5);

    private readonly TaskCompletionSource<bool> _sessionGoesOn = new(TaskCreationOptions.RunContinuationsAsynchronously);
    private long _began, _lastMoved;
    private volatile bool _over;

    /// <summary>The broker has taken the connection.</summary>
    /// <param name="sessionGoesOn">It knows our session.</param>
    public void Begin(bool sessionGoesOn)
    {
        _began = time.GetTimestamp();
        Moved();
        _over = !sessionGoesOn;
        _sessionGoesOn.TrySetResult(sessionGoesOn);
    }

    /// <summary>The connection is over; no message waits for it to begin.</summary>
    public void End() => _sessionGoesOn.TrySetCanceled();

    /// <summary>A message was acknowledged, so the broker may send the next.</summary>
    public void Moved() => Volatile.Write(ref _lastMoved, time.GetTimestamp());

    /// <summary>A message has come. The first may come before the broker's answer to the greeting is read, and waits for that.</summary>
    /// <param name="packetId">Its packet identifier.</param>
    /// <param name="isOwedNothing">All that came before is acknowledged.</param>
    /// <param name="ct">Gives up.</param>
    public async Task<BrokerDelivery> TakeAsync(int packetId, Func<bool> isOwedNothing, CancellationToken ct)
    {
        var goesOn = await _sessionGoesOn.Task.WaitAsync(ct).ConfigureAwait(false);
        _over |= time.GetElapsedTime(_began) > Longest || (isOwedNothing() && time.GetElapsedTime(Volatile.Read(ref _lastMoved)) > Pause);
        Moved();
        return new BrokerDelivery(connection, goesOn, packetId, !_over);
    }
}
