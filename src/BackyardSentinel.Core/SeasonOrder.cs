namespace BackyardSentinel;

/// <summary>
/// One step through a season: a reading was heard, or it takes its place in the judgement. It points to the reading where that lies:
/// seasons have millions.
/// </summary>
/// <param name="sensed">The reading.</param>
/// <param name="at">When, UTC; never before the step before.</param>
/// <param name="heard">It arrived; otherwise it is judged.</param>
public readonly ref struct SeasonStep(ref readonly SensedReading sensed, DateTimeOffset at, bool heard)
{
    private readonly ref readonly SensedReading _sensed = ref sensed;

    /// <summary>The reading.</summary>
    public ref readonly SensedReading Sensed => ref _sensed;

    /// <summary>When, UTC; never before the step before.</summary>
    public DateTimeOffset At { get; } = at;

    /// <summary>It arrived; otherwise it is judged.</summary>
    public bool Heard { get; } = heard;
}

/// <summary>
/// Puts a season into the one order in which it is judged, live and after a restart: each reading counts at its own time, and
/// is heard when it came. So it does not matter whether a reading came at once or hours late out of a broker's queue: a
/// season is what was measured, not how it travelled.
/// </summary>
/// <remarks>
/// A sensor whose clock runs ahead counts when it came, so that it does not drive the clock of the others. What is heard late
/// waits here meanwhile.
/// </remarks>
public static class SeasonOrder
{
    /// <summary>The steps of a season, one behind the other.</summary>
    /// <param name="byTime">Its readings in the order of their own times.</param>
    /// <param name="until">What came later is left out.</param>
    /// <param name="withHeard">Gives the steps at which readings are heard, too.</param>
    public static SeasonSteps Of(IEnumerable<SensedReading> byTime, DateTimeOffset until, bool withHeard = true) =>
        new(byTime, until, withHeard);
}

/// <summary>The steps of a season, to go through once.</summary>
public sealed class SeasonSteps : IDisposable
{
    private readonly IEnumerator<SensedReading> _byTime;
    private readonly DateTimeOffset _until;
    private readonly bool _withHeard;
    private readonly WaitingSteps _waiting = new();
    // Neither the reading reached nor one still to come has a step before this: none came longer before its own time.
    private long _due = long.MinValue;
    private bool _hasReached, _isOver;

    internal SeasonSteps(IEnumerable<SensedReading> byTime, DateTimeOffset until, bool withHeard) =>
        (_byTime, _until, _withHeard) = (byTime.GetEnumerator(), until, withHeard);

    /// <summary>The step that was reached last; it holds until the next is.</summary>
    public SeasonStep Current => _waiting.Taken;

    /// <summary>Goes through them by <c>foreach</c>.</summary>
    public SeasonSteps GetEnumerator() => this;

    /// <summary>Goes to the next step.</summary>
    /// <returns>There is one.</returns>
    public bool MoveNext()
    {
        while (!_waiting.TryTake(_due))
        {
            if (_isOver)
                return false;
            Wait();
        }

        return true;
    }

    /// <inheritdoc/>
    public void Dispose() => _byTime.Dispose();

    /// <summary>The reading that was reached joins those that wait, and the next one is.</summary>
    private void Wait()
    {
        if (_hasReached)
            _waiting.Add(_withHeard);
        ref var reached = ref _waiting.Place();
        do
        {
            _hasReached = _byTime.MoveNext();
            if (!_hasReached)
            {
                (_due, _isOver) = (long.MaxValue, true);
                return;
            }

            reached = _byTime.Current;
        }
        while (reached.ReceivedAt > _until);
        _due = reached.Reading.Ticks - SiteWatch.LargestLead.Ticks;
    }
}
