using BackyardSentinel.Delivery;
using BackyardSentinel.Garden;
using BackyardSentinel.Infection;
using BackyardSentinel.Web.Drawing;

namespace BackyardSentinel.Web.Year;

/// <summary>The sentences and figures beside the strip of a season.</summary>
/// <param name="facts">The season.</param>
/// <param name="words">The words.</param>
public sealed class YearTable(YearFacts facts, PageWords words)
{
    /// <summary>What comes next, a sentence each.</summary>
    public IEnumerable<string> Lines()
    {
        if (facts.ClosedOn is { } closed)
        {
            yield return words.Say("year.closed", ("day", words.Day(closed)));
            yield break;
        }

        foreach (var (stage, dates) in facts.Stages)
        {
            if (dates.Expected is not { } on || on <= facts.Today)
                continue;
            var name = ("stage", words.Say("stage.short." + stage.Code));
            yield return dates is { Early: { } early, Late: { } late }
                ? words.Say("year.next", name, ("day", words.Day(on)), ("early", words.Day(early)), ("late", words.Day(late)))
                : words.Say("year.next.plain", name, ("day", words.Day(on)));
            yield break;
        }
    }

    /// <summary>As of when, and how the sums stand.</summary>
    public string AsOf()
    {
        var asOf = words.Say("year.as-of", ("time", words.Moment(facts.Now)));
        if (facts.StageDoubt is { } doubt)
            return $"{asOf} {words.Say(doubt)}";
        return facts is { Needs: not null, Slice: not null } ? $"{asOf} {YearStrip.ChillSentence(facts, words)}" : asOf;
    }

    /// <summary>The letters of the strip.</summary>
    public IEnumerable<(string Letter, string Text)> Letters() => YearMarks.Of(facts).Select(mark => (
        mark.Letter,
        words.Say("year.letter", ("day", words.ShortDay(mark.On)), ("what", YearMarks.Text(mark.Entry, facts.Site, words)))));

    /// <summary>The stages with their days; a seen one has one day only.</summary>
    public IEnumerable<(string Stage, string Earliest, string Expected, string Latest, string? Seen)> Stages()
    {
        foreach (var (stage, dates) in facts.Stages)
        {
            yield return (
                words.Say("stage.short." + stage.Code),
                Day(dates.Early),
                Day(dates.Expected),
                Day(dates.Late),
                facts.IsSeen(stage, dates.Expected) ? words.Say("year.table.seen", ("day", words.Day(dates.Expected!.Value))) : null);
        }

        var latest = facts.ClosedOn is null ? Day(facts.OverAtTheLatest) : "";
        yield return (words.Say("year.table.season-over"), "", Day(facts.ClosedOn), latest, null);
    }

    /// <summary>The windows of the rule that gives the level, as the strip numbers them.</summary>
    public IEnumerable<WindowRow> Windows() => YearStrip.Windows(facts).Select((window, i) => new WindowRow(
        words.Number(i + 1),
        window.Level,
        window.Cover == Cover.Fresh,
        words.Moment(window.OpenedAt),
        Level(window),
        Figures(window, words, facts.Site.HasRainGauge),
        window.Cover is { } cover ? words.Say("cover." + cover.Word()) : words.Say("not-known")));

    /// <summary>That there is no window, as far as that is known.</summary>
    public string NoWindow() => Unknown() is { } unknown ? $"{words.Say("year.windows.none-known")} {unknown}"
        : words.Say(facts.Slice is null || facts.IsUnseen ? "year.windows.none-known" : "year.windows.none");

    /// <summary>How much of the time in which it could be infected is not known, a sentence; <c>null</c>: none of it.</summary>
    /// <param name="key">The words.</param>
    public string? Unknown(string key = "year.windows.unknown") => facts.Exposed is (var open, > 0 and var unknown)
        ? words.Say(key, ("open", words.Hours(open)), ("unknown", words.Hours(unknown)))
        : null;

    /// <summary>A window's figures: hours wet, rain, mean temperature.</summary>
    public static string Figures(in InfectionWindow window, PageWords words, bool hasRainGauge)
    {
        List<string> parts = [];
        if (window.WetHours is { } hours)
            parts.Add(words.Say("year.windows.figures.hours", ("hours", words.Hours(hours))));
        if (window.RainMm is { } rain && hasRainGauge)
            parts.Add(words.Rain(rain));
        if (window.MeanTempC is { } mean)
            parts.Add(words.Temperature(mean));
        return string.Join(", ", parts);
    }

    /// <summary>A season in a row: its name, sprays, swell, windows, and what was found.</summary>
    /// <param name="row">The season.</param>
    public (string Season, string Sprays, string Swell, string Windows, string Found) Season(SeasonRow row) => (
        YearStrip.SeasonText(row.Season),
        row.Sprays.Count == 0 ? words.Say("seasons.none") : string.Join(", ", row.Sprays.Select(words.ShortDay)),
        row.SwellSeen is { } swell ? words.ShortDay(swell) : words.Say("seasons.not-seen"),
        row.Windows.Count > 0
            ? string.Join(", ", row.Windows.Select(window => words.Say(
                "seasons.window", ("day", words.ShortDay(words.DayOf(window.OpenedAt))), ("level", words.Level(window.Level)))))
            : words.Say(
                row.IsElsewhere ? "seasons.elsewhere"
                : row.Known is null ? "not-known"
                : row.IsPartlyUnknown ? "seasons.none-known" : "seasons.none"),
        row.CurlFound is { } found ? words.Say("seasons.curl.on", ("day", words.ShortDay(found)))
            : words.Say(row.Looks == 0 ? "seasons.not-looked" : "seasons.clean"));

    private string Level(in InfectionWindow window)
    {
        var level = words.Say("level.of", ("level", words.Level(window.Level)), ("number", words.Number((int)window.Level)));
        if (facts.Own?.BudsMayBeOpen(window.OpenedAt) == true)
            level += ", " + words.Say("year.windows.if-open");
        return window.ClosedAt is null ? level + ", " + words.Say("year.windows.open") : level;
    }

    private string Day(DateOnly? day) => day is { } on ? words.Day(on) : words.Say("not-known");
}
