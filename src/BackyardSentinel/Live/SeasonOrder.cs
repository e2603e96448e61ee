using BackyardSentinel.Sensors;
using BackyardSentinel.Storage;
using BackyardSentinel.Weather;

namespace BackyardSentinel.Live;

/// <summary>One step through a stored season: a reading was heard, or it takes its place in the judgement.</summary>
/// <param name="Row">The reading.</param>
/// <param name="AtUs">When, µs since 1970 UTC; never before the step before.</param>
/// <param name="Heard">It arrived; otherwise it is judged.</param>
public readonly record struct SeasonStep(StoredReading Row, long AtUs, bool Heard)
{
    /// <summary>When, UTC.</summary>
    public DateTimeOffset At => Stamps.ToMoment(AtUs);

    /// <summary>The row as the watch takes it.</summary>
    /// <param name="map">Its series.</param>
    public Reading Reading(SeriesMap map) =>
        new(map.Quantity, DateTimeOffset.FromUnixTimeMilliseconds(Row.TimeMs), Row.Value, default, map.Rank);
}

/// <summary>
/// Puts a stored season into the one order in which it is judged, live and after a restart: each reading counts at its
/// own time, and is heard when it came. So it does not matter whether a reading came at once or hours late out of a
/// broker's queue: a season is what was measured, not how it travelled.
/// </summary>
/// <remarks>
/// A sensor whose clock runs ahead counts when it came, so that it does not drive the clock of the others. The rows come
/// in the order of their own times, as the store keeps them; what is heard late waits here meanwhile.
/// </remarks>
public static class SeasonOrder
{
    private static readonly long LeadUs = SiteWatch.LargestLead.Ticks / TimeSpan.TicksPerMicrosecond;
    private static readonly long AgeUs = SiteWatch.LargestAge.Ticks / TimeSpan.TicksPerMicrosecond;

    /// <summary>The steps of a season.</summary>
    /// <param name="rowsByTime">Its rows in the order of their own times.</param>
    /// <param name="untilUs">What came later is left out, µs since 1970 UTC.</param>
    public static IEnumerable<SeasonStep> Of(IEnumerable<StoredReading> rowsByTime, long untilUs = long.MaxValue)
    {
        var waiting = new PriorityQueue<SeasonStep, (long AtUs, long Number)>();
        long number = 0, reached = long.MinValue;
        foreach (var row in rowsByTime)
        {
            if (row.ReceivedUs > untilUs)
                continue;
            // No row still to come has a step before this: none came longer before its own time.
            var timeUs = row.TimeMs * 1000;
            while (waiting.TryPeek(out var step, out var due) && due.AtUs <= timeUs - LeadUs)
            {
                waiting.Dequeue();
                yield return Next(step, ref reached);
            }

            waiting.Enqueue(new SeasonStep(row, row.ReceivedUs, Heard: true), (row.ReceivedUs, number++));
            if (timeUs - row.ReceivedUs > LeadUs || row.ReceivedUs - timeUs > AgeUs)
                continue;
            var judged = Math.Min(timeUs, row.ReceivedUs);
            waiting.Enqueue(new SeasonStep(row, judged, Heard: false), (judged, number++));
        }

        while (waiting.TryDequeue(out var step, out _))
            yield return Next(step, ref reached);
    }

    private static SeasonStep Next(SeasonStep step, ref long reached)
    {
        reached = Math.Max(reached, step.AtUs);
        return step with { AtUs = reached };
    }
}
