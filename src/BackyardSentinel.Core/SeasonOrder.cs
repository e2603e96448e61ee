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
        var waiting = new PriorityQueue<SeasonStep, (long At, long Number)>();
        long number = 0;
        var reached = DateTimeOffset.MinValue;
        foreach (var sensed in byTime)
        {
            var (time, receivedAt) = (sensed.Reading.Time, sensed.ReceivedAt);
            if (receivedAt > until)
                continue;
            // No reading still to come has a step before this: none came longer before its own time.
            while (waiting.TryPeek(out var step, out _) && step.At <= time - SiteWatch.LargestLead)
            {
                waiting.Dequeue();
                yield return Next(step, ref reached);
            }

            if (withHeard)
                Wait(new SeasonStep(sensed, receivedAt, Heard: true));
            if (SiteWatch.Counts(time, receivedAt))
                Wait(new SeasonStep(sensed, time < receivedAt ? time : receivedAt, Heard: false));
        }

        while (waiting.TryDequeue(out var step, out _))
            yield return Next(step, ref reached);

        void Wait(in SeasonStep step) => waiting.Enqueue(step, (step.At.UtcTicks, number++));
    }

    private static SeasonStep Next(in SeasonStep step, ref DateTimeOffset reached)
    {
        if (step.At > reached)
            reached = step.At;
        return step with { At = reached };
    }
}
