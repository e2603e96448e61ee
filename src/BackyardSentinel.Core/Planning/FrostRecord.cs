using BackyardSentinel.Garden;
using BackyardSentinel.Units;
using BackyardSentinel.Weather;
using BackyardSentinel.Wording;
using static BackyardSentinel.Garden.LimitRounding;

namespace BackyardSentinel.Planning;

/// <summary>
/// The cold of each clock hour, from what was measured and what is forecast: the lower of air and wet bulb, since wet
/// bark cools to the wet bulb. An hour ahead whose temperature or humidity is lacking cannot be called free of frost.
/// </summary>
internal sealed class FrostRecord
{
    private readonly Dictionary<DateTimeOffset, double> _coldC = [];
    private readonly HashSet<DateTimeOffset> _withoutHumidity = [];
    private readonly DateTimeOffset _thisHour;

    public FrostRecord(IEnumerable<ForecastHour> forecast, IReadOnlyList<AirObserved>? measured, DateTimeOffset asOf, double pressureHpa)
    {
        _thisHour = ClockHour.Of(asOf);
        foreach (var hour in forecast)
        {
            if (hour.TemperatureC is not { } t)
                continue;
            Note(hour.Start, t, hour.HumidityPct);
            if (hour.HumidityPct is null)
                _withoutHumidity.Add(hour.Start);
        }

        foreach (var air in measured ?? [])
            Note(ClockHour.Of(air.At), air.TemperatureC, air.HumidityPct);

        void Note(DateTimeOffset hour, double t, double? rh)
        {
            var cold = rh is { } known ? Math.Min(t, Psychrometrics.WetBulbC(t, known, pressureHpa)) : t;
            _coldC[hour] = _coldC.TryGetValue(hour, out var other) ? Math.Min(other, cold) : cold;
        }
    }

    /// <summary>What frost in an hour, before it and after it says against spraying in it.</summary>
    public IEnumerable<HourFault> Faults(DateTimeOffset hour, LabelLimit label, UnitSystem units)
    {
        double? lowestC = null;
        var (lowest, unknown, unknownPast) = (0, (HourFault?)null, false);
        Look(0, 0);
        Look(1, (int)Math.Ceiling(label.FrostFreeAfterH ?? SprayLimits.FrostFreeAfterH));
        Look(-1, (int)Math.Ceiling(label.FrostFreeBeforeH ?? SprayLimits.FrostFreeBeforeH));

        if (lowestC is { } c && Rounded(c) <= SprayLimits.FrostNearC)
        {
            Sentence when = lowest switch { 0 => $"then", > 0 => $"{lowest} h after", _ => $"{-lowest} h before" };
            var frost = Rounded(c) <= SprayLimits.FrostC;
            yield return new(
                HourReason.Frost,
                frost,
                frost
                    ? (Sentence)$"frost: {when} {new Figure(units.Temperature(c))} of air or wet bulb"
                    : $"near frost: {when} {new Figure(units.Temperature(c))} of air or wet bulb");
        }

        if (unknown is { } lacking)
            yield return lacking;
        else if (unknownPast)
            yield return new(HourReason.Missing, false, $"no record of the last night's frost: see that nothing is frozen");

        void Look(int direction, int hours)
        {
            for (var away = Math.Abs(direction); away <= hours; away++)
            {
                var at = hour.AddHours(direction * away);
                var isKnown = _coldC.TryGetValue(at, out var hourC);
                if (isKnown && !(hourC >= lowestC))
                    (lowestC, lowest) = (hourC, direction * away);
                if (at < _thisHour)
                    unknownPast |= !isKnown;
                else if (away > 0 && (!isKnown || _withoutHumidity.Contains(at)))
                    unknown ??= HourFault.Missing(
                        (direction > 0, isKnown) switch
                        {
                            (true, true) => $"the humidity of the {hours} h after, so frost cannot be ruled out",
                            (true, false) => $"the temperature of the {hours} h after, so frost cannot be ruled out",
                            (false, true) => $"the humidity of the {hours} h before, so frost cannot be ruled out",
                            (false, false) => $"the temperature of the {hours} h before, so frost cannot be ruled out",
                        });
                // The hour's own missing values are told elsewhere.
            }
        }
    }
}
