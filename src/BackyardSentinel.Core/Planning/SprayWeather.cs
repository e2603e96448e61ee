using BackyardSentinel.Garden;
using BackyardSentinel.Spraying;
using BackyardSentinel.Units;
using BackyardSentinel.Weather;
using BackyardSentinel.Wording;
using static System.FormattableString;
using static BackyardSentinel.Garden.LimitRounding;

namespace BackyardSentinel.Planning;

/// <summary>
/// Judges single hours for spraying one product: by its label, and where that says nothing by <see cref="SprayLimits"/>.
/// The hour is the one in which spraying happens; rain and frost are counted from its end on.
/// </summary>
public sealed class SprayWeather
{
    private readonly SprayProduct _product;
    private readonly RainRecord _rain;
    private readonly Dictionary<DateTimeOffset, ForecastHour> _hours;
    private readonly Func<DateTimeOffset, double>? _sunElevationDeg;
    private readonly double _pressureHpa;
    private readonly FrostRecord _frost;
    private readonly TimeZoneInfo? _zone;

    /// <summary>Makes ready to judge.</summary>
    /// <param name="product">The product.</param>
    /// <param name="hours">The forecast's hours, each once.</param>
    /// <param name="observedRain">Rain measured before now; <c>null</c>: not known.</param>
    /// <param name="asOf">Now, UTC.</param>
    /// <param name="sunElevationDeg">Elevation of the sun, degrees, at a moment; <c>null</c>: no coordinates, so inversions are not
    /// judged.</param>
    /// <param name="pressureHpa">Station pressure, hPa, 300–1200; 1013.25 unless known.</param>
    /// <param name="observedAir">Air measured before now; <c>null</c>: not known.</param>
    /// <param name="zone">The site's zone; without coordinates only <see cref="SprayLimits.FirstSureHour"/> to <see
    /// cref="SprayLimits.LastSureHour"/> of its standard time count as light.</param>
    public SprayWeather(
        SprayProduct product,
        IReadOnlyList<ForecastHour> hours,
        IReadOnlyList<RainAmount>? observedRain,
        DateTimeOffset asOf,
        Func<DateTimeOffset, double>? sunElevationDeg = null,
        double pressureHpa = 1013.25,
        IReadOnlyList<AirObserved>? observedAir = null,
        TimeZoneInfo? zone = null)
    {
        _product = product;
        _hours = hours.ToDictionary(hour => hour.Start);
        _sunElevationDeg = sunElevationDeg;
        _pressureHpa = pressureHpa;
        _zone = zone;
        _rain = new RainRecord(_hours, observedRain, asOf);
        _frost = new FrostRecord(hours, observedAir, asOf, pressureHpa);
    }

    /// <summary>The units in which what speaks against an hour is told.</summary>
    public UnitSystem Units { get; init; } = UnitSystem.Metric;

    /// <summary>Everything against spraying in the clock hour that starts then; empty: a good hour.</summary>
    /// <param name="start">Start of a clock hour, UTC.</param>
    public IReadOnlyList<HourFault> Judge(DateTimeOffset start)
    {
        if (!_hours.TryGetValue(start, out var hour))
            return [HourFault.Missing($"this hour")];
        return
        [
            .. _rain.Faults(start, _product.Label),
            .. _frost.Faults(start, _product.Label, Units),
            .. Temperature(hour),
            .. Wind(hour),
            .. Drying(hour),
            .. Sun(hour),
        ];
    }

    /// <summary>How far the wet bulb lies below the air in an hour, °C (psychrometer of WMO-No. 8); <c>null</c>: not known.</summary>
    /// <param name="start">Start of a clock hour, UTC.</param>
    public double? DeltaTC(DateTimeOffset start) =>
        _hours.TryGetValue(start, out var hour) && hour is { TemperatureC: { } t, HumidityPct: { } rh }
            ? Rounded(Psychrometrics.DeltaTC(t, rh, _pressureHpa))
            : null;

    /// <summary>Whole hours without rain after an hour, as far as is known, at most so many.</summary>
    /// <param name="start">Start of a clock hour, UTC.</param>
    /// <param name="most">Where to stop counting, h.</param>
    public int DryHoursAfter(DateTimeOffset start, int most)
    {
        var dry = 0;
        while (dry < most && _rain.In(start.AddHours(dry + 1)) == false)
            dry++;
        return dry;
    }

    private IEnumerable<HourFault> Temperature(ForecastHour hour)
    {
        if (hour.TemperatureC is not { } t)
        {
            yield return HourFault.Missing($"the temperature");
            yield break;
        }

        var low = _product.Label.MinTemperatureC ?? SprayLimits.MinTemperatureC;
        var high = _product.Label.MaxTemperatureC ?? (_product.Active.IsSulfur() ? SprayLimits.MaxSulfurTemperatureC : null);
        if (Rounded(t) < Rounded(low))
            yield return new(
                HourReason.TooCold,
                true,
                Below(Units.Temperature(t), Units.Temperature(low)));
        if (high is { } most && Rounded(t) > Rounded(most))
            yield return new(
                HourReason.TooWarm,
                true,
                Above(Units.Temperature(t), Units.Temperature(most)));
        if (Rounded(t) > SprayLimits.HotDryTemperatureC && hour.HumidityPct < SprayLimits.HotDryHumidityPct)
            yield return new(HourReason.HotDry, true, $"hot and dry: {new Figure(Units.Temperature(t))} at "
                + $"{new Figure(Invariant($"{hour.HumidityPct:0} %"))}");
    }

    private IEnumerable<HourFault> Wind(ForecastHour hour)
    {
        if (hour.WindMs is not { } wind)
        {
            yield return HourFault.Missing($"the wind");
            yield break;
        }

        var (low, high) = (_product.Label.MinWindMs ?? SprayLimits.MinWindMs, _product.Label.MaxWindMs ?? SprayLimits.MaxWindMs);
        if (Rounded(wind) > Rounded(high))
            yield return new(
                HourReason.WindHigh,
                true,
                $"wind {Above(Units.Wind(wind), Units.Wind(high), Units.WindFigure(high))}");
        else if (Rounded(wind) > Rounded(SprayLimits.GentleWindMs) && _product.Label.MaxWindMs is null)
            yield return new(HourReason.WindHigh, false, $"wind {new Figure(Units.Wind(wind))}: mind the drift");
        if (Rounded(wind) < Rounded(low))
            yield return new(
                HourReason.WindLow,
                true,
                $"wind {Below(Units.Wind(wind), Units.Wind(low), Units.WindFigure(low))}");
        else if (Rounded(wind) < Rounded(SprayLimits.SteadyWindMs) && _product.Label.MinWindMs is null)
            yield return new(HourReason.WindLow, false, $"wind {new Figure(Units.Wind(wind))}: light and turning");
    }

    /// <summary>A value and its limit that are written alike are not the same.</summary>
    private static Sentence Above(string value, string limit, string? figure = null) => value == limit
        ? (Sentence)$"{new Figure(value)}, just above {new Figure(figure ?? limit)}"
        : $"{new Figure(value)}, above {new Figure(figure ?? limit)}";

    private static Sentence Below(string value, string limit, string? figure = null) => value == limit
        ? (Sentence)$"{new Figure(value)}, just below {new Figure(figure ?? limit)}"
        : $"{new Figure(value)}, below {new Figure(figure ?? limit)}";

    private IEnumerable<HourFault> Drying(ForecastHour hour)
    {
        if (hour.HumidityPct is null)
            yield return HourFault.Missing($"the humidity");
        if (DeltaTC(hour.Start) is not { } deltaTC)
            yield break;
        if (deltaTC < SprayLimits.GoodDeltaTMinC)
            yield return new(HourReason.DeltaTLow, false, $"Delta-T {new Figure(Units.TemperatureDifference(deltaTC))}: dries slowly");
        else if (deltaTC > SprayLimits.GoodDeltaTMaxC)
            yield return new(
                HourReason.DeltaTHigh,
                deltaTC > SprayLimits.MaxDeltaTC,
                $"Delta-T {new Figure(Units.TemperatureDifference(deltaTC))}: drops dry in flight");
    }

    private IEnumerable<HourFault> Sun(ForecastHour hour)
    {
        if (_sunElevationDeg is null)
        {
            // The whole hour must lie within.
            if (
                _zone is not null
                && hour.Start.ToOffset(_zone.BaseUtcOffset).TimeOfDay.TotalHours
                    is not (>= SprayLimits.FirstSureHour and <= SprayLimits.LastSureHour - 1))
                yield return new(HourReason.Dark, true, HourFault.MayBeDark);
            yield break;
        }

        if (IsDown(0) || IsDown(1))
            yield return new(HourReason.Dark, true, HourFault.Dark);
        // Within 1.5 h of a sun below the horizon is from 1.5 h before sunset to 1.5 h after sunrise, at any latitude.
        else if (
            (IsDown(-SprayLimits.InversionMarginH) || IsDown(1 + SprayLimits.InversionMarginH))
            && !(Rounded(hour.WindMs ?? 0) >= Rounded(SprayLimits.InversionWindMs)))
            yield return new(HourReason.Inversion, true, $"an inversion is possible: drift would hang and travel");

        bool IsDown(double hoursAfterStart) => _sunElevationDeg(hour.Start.AddHours(hoursAfterStart)) < SprayLimits.SunsetElevationDeg;
    }
}
