using BackyardSentinel.Reporting;
using BackyardSentinel.Weather;

namespace BackyardSentinel.Web.Drawing;

/// <summary>Some hours of weather together, half-open [From, To); none goes over now.</summary>
/// <param name="From">From when, UTC.</param>
/// <param name="To">Until when, UTC.</param>
/// <param name="IsForecast">It is not measured.</param>
/// <param name="Temperature">Lowest, mean and highest, °C; <c>null</c>: not known.</param>
/// <param name="Humidity">Lowest, mean and highest of the hours, %; <c>null</c>: not known.</param>
/// <param name="RainMm">Rain, mm; <c>null</c>: not known.</param>
/// <param name="WetHours">Hours that count as wet; <c>null</c>: not known of any.</param>
/// <param name="IsWhole">All of it is known.</param>
public readonly record struct WeatherBin(
    DateTimeOffset From,
    DateTimeOffset To,
    bool IsForecast,
    (double Low, double Mean, double High)? Temperature,
    (double Low, double Mean, double High)? Humidity,
    double? RainMm,
    double? WetHours,
    bool IsWhole)
{
    /// <summary>How many hours go into one: 1, 3 or a day, by the days shown.</summary>
    public static int HoursFor(int days) => days <= 3 ? 1 : days <= 7 ? 3 : 24;

    /// <summary>The bins of a drawing, in local days.</summary>
    public static IReadOnlyList<WeatherBin> Of(WeatherFacts facts, int hours)
    {
        List<WeatherBin> bins = [];
        var zone = facts.Site.Zone;
        for (var day = LocalDay.Of(facts.From, zone); LocalDay.StartOf(day, zone) < facts.Until; day = day.AddDays(1))
        {
            var (midnight, next) = (LocalDay.StartOf(day, zone), LocalDay.StartOf(day.AddDays(1), zone));
            for (var from = midnight; from < next && from < facts.Until; from = End(from, next, hours))
            {
                var to = End(from, next, hours);
                if (from < facts.Now)
                    bins.Add(Measured(facts, from, to < facts.Now ? to : facts.Now));
                if (to > facts.Now
                    && Forecast(facts, from > facts.Now ? from : facts.Now, to < facts.Until ? to : facts.Until) is { } ahead)
                    bins.Add(ahead);
            }
        }

        return bins;
    }

    private static DateTimeOffset End(DateTimeOffset from, DateTimeOffset next, int hours) =>
        hours < 24 && from.AddHours(hours) < next ? from.AddHours(hours) : next;

    private static WeatherBin Measured(WeatherFacts facts, DateTimeOffset from, DateTimeOffset to)
    {
        var hours = facts.Slice?.Hours.Where(hour => hour.Start >= from && hour.Start < to).ToList() ?? [];
        var temperature = hours.Where(hour => hour.MeanC is not null).ToList();
        var humidity = hours.Where(hour => hour.HumidityPct is not null).Select(hour => hour.HumidityPct!.Value).ToList();
        var rain = hours.Where(hour => hour.RainMm is not null).ToList();
        return new WeatherBin(
            from,
            to,
            false,
            temperature.Count == 0
                ? null
                : (temperature.Min(hour => hour.LowC!.Value), Mean(temperature), temperature.Max(hour => hour.HighC!.Value)),
            humidity.Count == 0 ? null : (humidity.Min(), humidity.Average(), humidity.Max()),
            rain.Count == 0 ? null : rain.Sum(hour => hour.RainMm!.Value),
            hours.Exists(hour => hour.WetnessShare > 0) ? hours.Sum(hour => hour.WetShare) : null,
            !facts.Gaps().Any(gap => gap.From < to && gap.To > from));
    }

    private static WeatherBin? Forecast(WeatherFacts facts, DateTimeOffset from, DateTimeOffset to)
    {
        if (facts.Ahead is not { } ahead)
            return null;
        var hours = ahead.Hours.Zip(ahead.Wetness).Where(hour => hour.First.Start >= from && hour.First.Start < to).ToList();
        if (hours.Count == 0)
            return null;
        var temperature = hours.Where(hour => hour.First.TemperatureC is not null).Select(hour => hour.First.TemperatureC!.Value).ToList();
        var humidity = hours.Where(hour => hour.First.HumidityPct is not null).Select(hour => hour.First.HumidityPct!.Value).ToList();
        var rain = hours.Where(hour => hour.First.RainMm is not null).ToList();
        return new WeatherBin(
            from,
            to,
            true,
            temperature.Count == 0 ? null : (temperature.Min(), temperature.Average(), temperature.Max()),
            humidity.Count == 0 ? null : (humidity.Min(), humidity.Average(), humidity.Max()),
            rain.Count == 0 ? null : rain.Sum(hour => hour.First.RainMm!.Value),
            hours.Exists(hour => hour.Second.State != WetnessState.Unknown) ? hours.Sum(hour => hour.Second.Fraction) : null,
            true);
    }

    /// <summary>The mean of hours of which some are known in part only.</summary>
    private static double Mean(List<AlmanacHour> hours) =>
        hours.Sum(hour => hour.MeanC!.Value * hour.TemperatureShare) / hours.Sum(hour => hour.TemperatureShare);
}
