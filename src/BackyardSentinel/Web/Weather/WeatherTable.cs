using BackyardSentinel.Delivery;
using BackyardSentinel.Garden;
using BackyardSentinel.Infection;
using BackyardSentinel.Reporting;
using BackyardSentinel.Units;
using BackyardSentinel.Web.Drawing;

namespace BackyardSentinel.Web.Weather;

/// <summary>The figures behind the drawing of the weather.</summary>
/// <param name="facts">What is drawn.</param>
/// <param name="words">The words.</param>
public sealed class WeatherTable(WeatherFacts facts, PageWords words)
{
    /// <summary>The heads of the columns after the first: units and hours wet.</summary>
    public IReadOnlyList<string> Heads =>
        [words.Units.TemperatureUnit, "%", words.Units.UnitOf(Dimension.Depth).Symbol, words.Say("weather.table.wet")];

    /// <summary>A row in one line, for what is touched in the drawing: the script fills in what the row has.</summary>
    public string UnderFinger => words.Say(
        "weather.finger.says", ("unit", words.Units.TemperatureUnit), ("depth", words.Units.UnitOf(Dimension.Depth).Symbol));

    /// <summary>What a row stands for.</summary>
    public string Caption => words.Say("weather.table." + WeatherBin.HoursFor(facts.Days));

    /// <summary>The rows by local days; in 30 days one row is a day.</summary>
    public IEnumerable<(string Day, IReadOnlyList<WeatherRow> Rows)> Days() => WeatherBin
        .Of(facts, WeatherBin.HoursFor(facts.Days))
        .GroupBy(bin => words.DayOf(bin.From))
        .Select(day => (words.Date(day.Key), (IReadOnlyList<WeatherRow>)[.. day.Select(Row)]));

    /// <summary>Spells, gaps, levels and cover, each with its time.</summary>
    public IEnumerable<(string What, string When)> Events()
    {
        foreach (var spell in facts.Slice?.Spells ?? [])
            yield return (words.Say("weather.table.spell"), words.Say(
                "weather.table.spell.when",
                ("span", Span(spell.Start, spell.End)),
                ("hours", words.Hours(spell.WetHours)),
                ("rain", words.Rain(spell.RainMm))));
        foreach (var spell in (facts.Ahead?.Spells ?? []).Where(spell => spell.End > facts.Now))
            yield return (words.Say("weather.table.spell-ahead"), words.Say(
                "weather.table.spell.when",
                ("span", Span(spell.Start, spell.End)),
                ("hours", words.Hours(spell.WetHours)),
                ("rain", words.Rain(spell.RainMm))));
        foreach (var gap in facts.Gaps())
            yield return (words.Say("weather.table.gap", ("missing", MissingWords.Of(gap.Value, words))), Span(gap.From, gap.To));
        for (var i = 0; i < (facts.Slice?.Plantings.Count ?? 0); i++)
        {
            foreach (var row in Planting(i, facts.Slice!.Plantings[i]))
                yield return row;
        }
    }

    private IEnumerable<(string, string)> Planting(int index, PlantingSlice planting)
    {
        var name = facts.Site.Plantings[index].Called;
        foreach (var held in planting.Levels.Where(held => held.Value.Level is Level.Unknown or >= Level.Building))
        {
            var key = held.Value.Level == Level.Unknown ? "weather.table.unknown"
                : planting.IsCovered(held, facts.Site.LevelRule) ? "weather.table.level.covered"
                : planting.BudsMayBeOpen(held.From) ? "weather.table.level.if-open" : "weather.table.level";
            yield return (Said(key, held.Value.Level), Span(held.From, held.To));
        }

        if (facts.Ahead is { } ahead)
        {
            var levels = facts.LevelsAhead[index];
            for (var i = 0; i < levels.Count; i++)
            {
                var first = i;
                while (i + 1 < levels.Count && levels[i + 1] == levels[first])
                    i++;
                if (levels[first] >= Infection.Level.Possible)
                    yield return (
                        Said("weather.table.level.ahead", levels[first]),
                        Span(ahead.Hours[first].Start.AddHours(1), ahead.Hours[i].Start.AddHours(2)));
            }
        }

        foreach (var held in planting.Cover.Where(held => held.Value is not null))
            yield return (
                words.Say(
                    "weather.table.cover",
                    ("planting", name),
                    ("cover", words.Say("cover." + held.Value!.Value.Word()))),
                Span(held.From, held.To));

        string Said(string key, Level level) =>
            words.Say(key, ("planting", name), ("level", words.Level(level)), ("number", words.Number((int)level)));
    }

    private string Span(DateTimeOffset from, DateTimeOffset to) =>
        words.Say("span", ("from", words.Moment(from)), ("to", words.Moment(to, from)));

    private WeatherRow Row(WeatherBin bin)
    {
        var time = bin.To - bin.From >= TimeSpan.FromHours(20) ? words.Say("weather.table.day") : words.Clock(bin.From);
        return new WeatherRow(
            FormattableString.Invariant($"{facts.Axis.At(bin.From):0.##}"),
            bin.IsForecast ? words.Say("weather.table.forecast", ("time", time)) : time,
            bin.Temperature is { } t ? words.Figure(words.Units.TemperatureFigure(t.Mean)) : "?",
            bin.Humidity is { } h ? words.Number(h.Mean, "0") : "?",
            bin.RainMm is { } rain
                ? words.Number(words.Units.UnitOf(Dimension.Depth).FromReckoned(rain), words.Units == UnitSystem.Us ? "0.00" : "0.0")
                : "?",
            bin.WetHours is { } wet ? words.Number(wet, "0.0") : "?");
    }
}

/// <summary>A row of figures.</summary>
/// <param name="X">Where it begins in the drawing, %.</param>
/// <param name="From">From when; a forecast says so.</param>
/// <param name="Temperature">Mean temperature.</param>
/// <param name="Humidity">Mean humidity.</param>
/// <param name="Rain">Rain.</param>
/// <param name="Wet">Hours wet.</param>
public sealed record WeatherRow(string X, string From, string Temperature, string Humidity, string Rain, string Wet);
