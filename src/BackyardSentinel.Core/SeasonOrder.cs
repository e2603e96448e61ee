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
        // Nearly every reading is judged at its own time, and these come in order: sorting is for the others.
        var ordered = new Queue<(SeasonStep Step, long Number)>();
        var waiting = new PriorityQueue<SeasonStep, (long At, long Number)>();
        long number = 0;
        var (reached, last) = (DateTimeOffset.MinValue, DateTimeOffset.MinValue);
        foreach (var sensed in byTime)
        {
            var (time, receivedAt) = (sensed.Reading.Time, sensed.ReceivedAt);
            if (receivedAt > until)
                continue;
            // No reading still to come has a step before this: none came longer before its own time.
            while (TryTake(time - SiteWatch.LargestLead, out var step))
                yield return Next(step, ref reached);

            if (withHeard)
                Wait(new SeasonStep(sensed, receivedAt, Heard: true));
            if (!SiteWatch.Counts(time, receivedAt))
                continue;
            if (time <= receivedAt && time >= last)
                ordered.Enqueue((new SeasonStep(sensed, last = time, Heard: false), number++));
            else
                Wait(new SeasonStep(sensed, time < receivedAt ? time : receivedAt, Heard: false));
        }

        while (TryTake(DateTimeOffset.MaxValue, out var step))
            yield return Next(step, ref reached);

        void Wait(in SeasonStep step) => waiting.Enqueue(step, (step.At.UtcTicks, number++));

        bool TryTake(DateTimeOffset upTo, out SeasonStep step)
        {
            var isOrdered = ordered.TryPeek(out var next);
            if (
                waiting.TryPeek(out step, out var place)
                && (!isOrdered || place.CompareTo((next.Step.At.UtcTicks, next.Number)) < 0))
                return step.At <= upTo && waiting.TryDequeue(out step, out _);
            step = next.Step;
            return isOrdered && step.At <= upTo && ordered.TryDequeue(out _);
        }
    }

    private static SeasonStep Next(in SeasonStep step, ref DateTimeOffset reached)
    {
        if (step.At > reached)
            reached = step.At;
        return step with { At = reached };
    }
}
