using BackyardSentinel.Garden;
using BackyardSentinel.Spraying;
using BackyardSentinel.Weather;
using BackyardSentinel.Wording;
using static BackyardSentinel.Garden.LimitRounding;

namespace BackyardSentinel.Planning;

/// <summary>Rainy, dry and unknown hours, from what was measured and what is forecast. Either one makes an hour rainy.</summary>
internal sealed class RainRecord
{
    private readonly IReadOnlyDictionary<DateTimeOffset, ForecastHour> _forecast;
    private readonly Dictionary<DateTimeOffset, double>? _measured;
    private readonly DateTimeOffset _thisHour;

    public RainRecord(IReadOnlyDictionary<DateTimeOffset, ForecastHour> forecast, IReadOnlyList<RainAmount>? measured, DateTimeOffset asOf)
    {
        _forecast = forecast;
        _thisHour = ClockHour.Of(asOf);
        _measured = measured?.GroupBy(amount => ClockHour.Of(amount.At)).ToDictionary(
            hour => hour.Key, hour => hour.Sum(amount => amount.Mm));
    }

    /// <summary>
    /// It rains in the hour; <c>null</c>: not known. Many gauges speak only when they tip: where one has spoken within the time
    /// that was measured, a past hour of which it said nothing was dry.
    /// </summary>
    public bool? In(DateTimeOffset hour)
    {
        if (_measured is not null && _measured.TryGetValue(hour, out var mm) && Rounded(mm) >= SprayLimits.RainMm)
            return true;
        if (_forecast.TryGetValue(hour, out var said) && (said.RainMm is not null || said.RainProbabilityPct is not null))
            return Rounded(said.RainMm ?? 0) >= SprayLimits.RainMm || said.RainProbabilityPct >= SprayLimits.RainProbabilityPct;
        return hour >= _thisHour || _measured is null ? null : false;
    }

    /// <summary>What rain in an hour, before it and after it says against spraying in it.</summary>
    public IEnumerable<HourFault> Faults(DateTimeOffset hour, LabelLimit label)
    {
        switch (In(hour))
        {
            case true:
                yield return new(HourReason.Rain, true, $"rain");
                break;
            case null:
                yield return HourFault.Missing($"the rain");
                break;
            default:
                break; // Dry.
        }

        if (Nearest(hour, 1, label.DryAfterH, SprayLimits.DryAfterH) is { } after)
            yield return after;
        if (Nearest(hour, -1, label.DryBeforeH, SprayLimits.DryBeforeH) is { } before)
            yield return before;
    }

    /// <summary>The nearest rain, or the nearest hour of which nothing is known, in one direction.</summary>
    private HourFault? Nearest(DateTimeOffset hour, int direction, double? labelH, double leastH)
    {
        var blocking = (int)Math.Ceiling(labelH ?? leastH);
        var looked = labelH is null ? (int)SprayLimits.BetterDryH : blocking;
        HourFault? unknownPast = null;
        for (var away = 1; away <= looked; away++)
        {
            var at = hour.AddHours(direction * away);
            switch (In(at))
            {
                case true when direction > 0:
                    return new(HourReason.RainSoon, away <= blocking, $"rain within {away} h after");
                case true:
                    return new(HourReason.RainBefore, away <= blocking, $"rain in the {away} h before");
                case null when at < _thisHour:
                    // Rain may still be known further back.
                    unknownPast = new(HourReason.Missing, false, $"no rain record: see that the bark is dry");
                    break;
                case null:
                    return HourFault.Missing(direction > 0 ? (Sentence)$"the rain of the hours after"
                        : $"the rain of the hours before") with
                    {
                        Blocks = away <= blocking,
                    };
                default:
                    break; // Dry so far.
            }
        }

        return unknownPast;
    }
}
