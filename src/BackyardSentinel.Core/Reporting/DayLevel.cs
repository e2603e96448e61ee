using BackyardSentinel.Infection;
using BackyardSentinel.Weather;

namespace BackyardSentinel.Reporting;

/// <summary>The worst that a planting came to on one local day.</summary>
/// <param name="Day">The day.</param>
/// <param name="Highest">The highest level that was known; <c>null</c>: nothing was known all day.</param>
/// <param name="HasUnknown">For some of the day the level was unknown.</param>
/// <param name="IsCovered">The window behind it opened while a fresh cover was on the tree.</param>
/// <param name="IfOpen">Nobody knows whether the buds had opened.</param>
/// <param name="Ahead">The highest level that the forecast would give in what is left of it; <c>null</c>: none tells.</param>
public readonly record struct DayLevel(DateOnly Day, Level? Highest, bool HasUnknown, bool IsCovered, bool IfOpen, Level? Ahead)
{
    /// <summary>A planting's days in a row.</summary>
    /// <param name="planting">What is known of it.</param>
    /// <param name="rule">The rule that gives its level.</param>
    /// <param name="ahead">The look ahead; <c>null</c>: there is none.</param>
    /// <param name="levelsAhead">Its levels in the hours of the look ahead.</param>
    /// <param name="zone">The site's zone.</param>
    /// <param name="first">First day.</param>
    /// <param name="count">How many days.</param>
    public static IReadOnlyList<DayLevel> Of(
        PlantingSlice planting,
        string rule,
        WeatherAhead? ahead,
        IReadOnlyList<Level> levelsAhead,
        TimeZoneInfo zone,
        DateOnly first,
        int count) => [.. Enumerable.Range(0, count).Select(first.AddDays).Select(day =>
        {
            var (from, to) = (LocalDay.StartOf(day, zone), LocalDay.StartOf(day.AddDays(1), zone));
            var held = planting.Levels.Where(level => level.From < to && level.To > from).ToList();
            var known = held.Where(level => level.Value.Level != Level.Unknown).ToList();
            Stretch<LevelHeld>? worst = known.Count > 0 ? known.MaxBy(level => level.Value.Level) : null;
            var hours = ahead is null ? [] : ahead.Hours
                .Zip(levelsAhead)
                .Where(hour => hour.First.Start >= from && hour.First.Start < to)
                .Select(hour => hour.Second)
                .ToList();
            return new DayLevel(
                day,
                worst?.Value.Level,
                known.Count < held.Count,
                worst is { } at && planting.IsCovered(at, rule),
                worst is { } then && planting.BudsMayBeOpen(then.From),
                hours.Count > 0 ? hours.Max() : null);
        })];
}
