using System.Globalization;
using BackyardSentinel.Garden;
using BackyardSentinel.Sensors;

namespace BackyardSentinel.Commands.Examine;

/// <summary>Checks of the sensors, by what the store has of their last days.</summary>
internal static class SensorChecks
{
    private static readonly TimeSpan Silent = TimeSpan.FromHours(3), StuckFor = TimeSpan.FromHours(24), Lately = TimeSpan.FromDays(7);

    public static Verdict AllSpeak(Scene scene)
    {
        if (StoreChecks.NotRead(scene) is { } not)
            return not;
        List<SeriesMap> silent = [.. scene.Garden.Series.Where(series => scene.LastOf(series.Name) is not { } last || scene.Now - last > Silent)];
        if (silent.Count == 0)
            return Verdict.Fine($"All {ComputerChecks.Count(scene.Garden.Series.Count, "sensor")} gave a reading in the last three hours.");
        return Verdict.Wrong(
            $"No reading for three hours or longer of {Named(silent)}.",
            "See whether it sends (listen), whether topic and path are right (listen --payload), and its battery.");
    }

    public static Verdict NoneRefused(Scene scene)
    {
        if (StoreChecks.NotRead(scene) is { } not)
            return not;
        var since = (scene.Now - Lately).ToUnixTimeMilliseconds() * 1000;
        var refused = scene.Store.Refused.Where(row => row.ReceivedUs >= since).ToList();
        return refused.Count == 0
            ? Verdict.Fine("Nothing was refused in the last seven days.")
            : Verdict.Look(
                $"{refused[^1].Topic}: {Storage.TerminalText.Plain(refused[^1].Reason)}{(refused.Count > 1 ? string.Create(CultureInfo.InvariantCulture, $" (and {refused.Count - 1} more)") : "")}",
                "Run refused, which lists all with what was sent; listen --payload tries a message.");
    }

    public static Verdict UnitsCanBe(Scene scene)
    {
        if (StoreChecks.NotRead(scene) is { } not)
            return not;
        foreach (var series in scene.Garden.Series)
        {
            if (!scene.Store.Recent.TryGetValue(series.Name, out var readings) || readings.Count < 20)
                continue;
            var (low, high) = (readings.Min(one => one.Value), readings.Max(one => one.Value));
            var doubt = series.Quantity switch
            {
                Quantity.Humidity when high <= 1 => "never above 1 %: is the unit fraction?",
                Quantity.Temperature when low > 40 => "never below 40 °C: is the unit °F?",
                Quantity.Temperature when high - low > 45 => "more than 45 °C apart within two days: is the unit right?",
                Quantity.LeafWetness when !series.UnitIsStated && high <= 15 && high > 1 => "never above 15: is it a count, with a wet_on of its own?",
                _ => null,
            };
            if (doubt is not null)
                return Verdict.Look($"{series.Label ?? series.Topic}, {series.Quantity.Name()}: {doubt}", "Look at unit, scale and wet_on of this series in the garden file.");
        }

        return Verdict.Fine("The values of the last two days can be what they say.");
    }

    public static Verdict NoneStuck(Scene scene)
    {
        if (StoreChecks.NotRead(scene) is { } not)
            return not;
        var since = (scene.Now - StuckFor).ToUnixTimeMilliseconds();
        List<SeriesMap> stuck =
        [
            .. scene.Garden.Series.Where(series =>
                series.Quantity == Quantity.Temperature
                && scene.Store.Recent.TryGetValue(series.Name, out var readings)
                && readings.Where(one => one.TimeMs >= since).ToList() is { Count: >= 20 } day
                && day.TrueForAll(one => one.Value == day[0].Value)),
        ];
        return stuck.Count == 0
            ? Verdict.Fine("No temperature has stood still for a day.")
            : Verdict.Look($"The temperature of {Named(stuck)} has not changed for a day.", "Look at the sensor; a dead one is often repeated by its gateway.");
    }

    public static Verdict HasRainGauge(Scene scene) =>
        scene.Garden.Sites.FirstOrDefault(site => !site.HasRainGauge) is { } site
            ? Verdict.Look($"{site.Id} has no rain series, so any wetness begins a wet spell.", "Add a rain gauge; until then there are more alerts than need be.")
            : Verdict.Fine("Every site has a rain gauge.");

    private static string Named(List<SeriesMap> series) =>
        string.Join(", ", series.Take(3).Select(one => $"{one.Quantity.Name()} on {one.Topic}"))
            + (series.Count > 3 ? string.Create(CultureInfo.InvariantCulture, $" and {series.Count - 3} more") : "");
}
