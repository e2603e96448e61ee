using BackyardSentinel.Weather;

namespace BackyardSentinel.Infection;

/// <summary>
/// Follows one site's wet spells, interval by interval, without looking ahead. Two states: no spell, or a spell that
/// is wet or in a dry gap.
/// </summary>
/// <param name="startsOnAnyWetness">A spell starts with any wet interval instead of rain only.</param>
/// <param name="noRainGauge">There is no rain gauge.</param>
public sealed class WetSpellTracker(bool startsOnAnyWetness, bool noRainGauge)
{
    /// <summary>Not-wet time up to and including this keeps a spell. Published for fruit; assumed for shoots.</summary>
    public static readonly TimeSpan LongestGap = TimeSpan.FromHours(4);

    /// <summary>A spell is uncertain when more than this share of it is unknown or without temperature.</summary>
    public const double UncertainShare = 0.10;

    private bool running, withoutGauge;
    private DateTimeOffset start, end;
    private long gap;
    private double wetTicks, rainMm, tempSum, tempTicks, minC, maxC;
    private long unclearTicks, unclearAtEnd;

    /// <summary>The running spell judged up to its last wet interval; <c>null</c> between spells.</summary>
    public WetSpell? Running => running ? Describe() : null;

    /// <summary>No gauge tells of the rain that wets: then wetness alone starts a spell, and a spell that it wets has no sum of rain.</summary>
    public bool NoRainGauge { get; set; } = noRainGauge;

    /// <summary>A tracker that goes on from here by itself, to look ahead with.</summary>
    public WetSpellTracker Copy() => (WetSpellTracker)MemberwiseClone();

    /// <summary>Takes the next interval.</summary>
    /// <param name="interval">The weather.</param>
    /// <param name="wetness">The judgement on it.</param>
    /// <param name="ended">The spell that this interval ended, if any.</param>
    /// <returns><c>true</c> when this interval started a spell.</returns>
    public bool Observe(in WeatherInterval interval, Wetness wetness, out WetSpell? ended)
    {
        ended = null;
        var started = false;
        if (wetness.State == WetnessState.Wet)
        {
            if (!running)
            {
                // Dew alone starts nothing: it is reported as too short to infect.
                if (!(startsOnAnyWetness || NoRainGauge || interval.RainMm > 0))
                    return false;
                Begin(interval.Start);
                started = true;
            }

            AddWet(interval, wetness.Fraction);
            return started;
        }

        if (!running)
            return false; // Dry, frozen or unknown time before any rain: nothing to follow.

        gap += interval.Length.Ticks;
        if (wetness.State == WetnessState.Unknown)
            unclearTicks += interval.Length.Ticks;
        if (gap > LongestGap.Ticks)
            ended = End();
        return false;
    }

    /// <summary>Ends the running spell because the log is over.</summary>
    public WetSpell? End()
    {
        if (!running)
            return null;
        var spell = Describe();
        running = false;
        return spell;
    }

    private void Begin(DateTimeOffset at)
    {
        (running, withoutGauge) = (true, false);
        (start, end) = (at, at);
        (wetTicks, rainMm, tempSum, tempTicks) = (0, 0, 0, 0);
        (minC, maxC) = (double.PositiveInfinity, double.NegativeInfinity);
        (gap, unclearTicks, unclearAtEnd) = (0, 0, 0);
    }

    private void AddWet(in WeatherInterval interval, double fraction)
    {
        var ticks = fraction * interval.Length.Ticks;
        wetTicks += ticks;
        withoutGauge |= NoRainGauge;
        rainMm += interval.RainMm ?? 0;
        if (interval.TemperatureC is { } t)
        {
            tempSum += t * ticks;
            tempTicks += ticks;
            minC = Math.Min(minC, t);
            maxC = Math.Max(maxC, t);
        }
        else
        {
            unclearTicks += interval.Length.Ticks;
        }

        gap = 0;
        end = interval.End;
        unclearAtEnd = unclearTicks;
    }

    private WetSpell Describe() => new(
        start,
        end,
        wetTicks / TimeSpan.TicksPerHour,
        rainMm,
        tempTicks > 0 ? tempSum / tempTicks : null,
        tempTicks > 0 ? minC : null,
        tempTicks > 0 ? maxC : null,
        unclearAtEnd > UncertainShare * (end - start).Ticks,
        withoutGauge);
}
