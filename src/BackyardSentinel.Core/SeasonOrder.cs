namespace BackyardSentinel;

/// <summary>One step through a season: a reading was heard, or it takes its place in the judgement.</summary>
/// <param name="Sensed">The reading.</param>
/// <param name="At">When, UTC; never before the step before.</param>
/// <param name="Heard">It arrived; otherwise it is judged.</param>
public readonly record struct SeasonStep(SensedReading Sensed, DateTimeOffset At, bool Heard);

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
    /// <summary>The steps of a season.</summary>
    /// <param name="byTime">Its readings in the order of their own times.</param>
    /// <param name="until">What came later is left out.</param>
    /// <param name="withHeard">Gives the steps at which readings are heard, too.</param>
    public static IEnumerable<SeasonStep> Of(IEnumerable<SensedReading> byTime, DateTimeOffset until, bool withHeard = true)
    {
        var waiting = new WaitingSteps();
        foreach (var sensed in byTime)
        {
            if (sensed.ReceivedAt > until)
                continue;
            // No reading still to come has a step before this: none came longer before its own time.
            while (waiting.TryTake(sensed.Reading.Ticks - SiteWatch.LargestLead.Ticks))
                yield return waiting.Taken;
            waiting.Add(sensed, withHeard);
        }

        while (waiting.TryTake(long.MaxValue))
            yield return waiting.Taken;
    }
}
