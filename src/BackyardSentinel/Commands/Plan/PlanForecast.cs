using System.Globalization;
using BackyardSentinel.Configuration;
using BackyardSentinel.Forecasts;
using BackyardSentinel.Guards;
using BackyardSentinel.Weather;
using static System.FormattableString;

namespace BackyardSentinel.Commands.Plan;

/// <summary>A forecast file for a plan: in the program's own form, or as the garden file's forecast section reads it.</summary>
internal static class PlanForecast
{
    /// <summary>Reads the file; what is wrong with it is found, a sentence each.</summary>
    public static Forecast? Read(string path, ForecastSettings? settings, DateTimeOffset asOf, ICollection<string> findings)
    {
        var result = ForecastFile.Read(path, null, asOf);
        if (result.Forecast is null && settings?.Map is { } map)
            result = ForecastFile.Read(
                path,
                map,
                Written(path, asOf) ?? asOf,
                ageUnknown: Written(path, asOf) is null);
        foreach (var remark in result.Remarks)
            findings.Add($"Forecast {path}: {remark}.");
        if (result.Forecast is null)
            findings.Add($"Forecast {result.Reason}; it is not used, so no slots are named.");
        return result.Forecast;
    }

    /// <summary>
    /// A file that does not say when it was issued was issued when it was written. One that was written long before the
    /// plan's moment, or after it, says nothing of its age in this way: a plan may be of any day.
    /// </summary>
    private static DateTimeOffset? Written(string path, DateTimeOffset asOf) =>
        OrdinaryFile.WrittenAt(path) is { } at && at <= asOf && at > asOf.AddDays(-1) ? at : null;

    /// <summary>Whether a forecast can be meant for this moment; if not, or where half of it is missing, that is found.</summary>
    public static Forecast? Sound(Forecast forecast, DateTimeOffset asOf, TimeZoneInfo zone, ICollection<string> findings)
    {
        string Local(DateTimeOffset moment) => Invariant($"{TimeZoneInfo.ConvertTime(moment, zone):yyyy-MM-dd HH:mm}");
        if (forecast.IsAhead(asOf))
        {
            findings.Add(
                string.Create(
                    CultureInfo.InvariantCulture,
                    $"{forecast.Subject} was issued at {Local(forecast.Issued)}, after the {Local(asOf)} of this plan; "
                        + $"check its zone and --at. It is not used."));
            return null;
        }

        if (forecast.IsStale(asOf))
        {
            findings.Add(
                string.Create(
                    CultureInfo.InvariantCulture,
                    $"{forecast.Subject} was issued at {Local(forecast.Issued)}, {(asOf - forecast.Issued).TotalHours:0} h before this "
                        + $"plan; one older than {Forecast.LongestUse.TotalHours:0} h is not used. Fetch a newer one."));
            return forecast; // The planner says so too, and names no slots.
        }

        var hours = forecast.Hours.Where(hour => hour.Start >= asOf.AddHours(-1)).ToList();
        if (hours.Count == 0)
        {
            findings.Add(Invariant($"{forecast.Subject} has no hour after {Local(asOf)}; check its times and zone."));
            return forecast;
        }

        var span = (int)(forecast.Until - hours[0].Start).TotalHours;
        (string Name, int Known)[] counts =
        [
            ("temperature", hours.Count(hour => hour.TemperatureC is not null)),
            ("humidity", hours.Count(hour => hour.HumidityPct is not null)),
            ("rain", hours.Count(hour => hour.RainMm is not null || hour.RainProbabilityPct is not null)),
            ("wind", hours.Count(hour => hour.WindMs is not null)),
        ];
        foreach (var (name, known) in counts.Where(count => count.Known < span))
            findings.Add(
                Invariant($"{forecast.Subject} lacks the {name} in {span - known} of {span} hours; those are not named as slots."));
        return forecast;
    }
}
