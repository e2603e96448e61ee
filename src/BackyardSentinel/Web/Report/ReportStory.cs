using BackyardSentinel.Delivery;
using BackyardSentinel.Garden;
using BackyardSentinel.Weather;
using BackyardSentinel.Web.Drawing;
using BackyardSentinel.Web.Year;

namespace BackyardSentinel.Web.Report;

/// <summary>A planting's year in five sentences: sprays, swell, windows, looks, and the end.</summary>
/// <param name="facts">The site's season.</param>
/// <param name="words">The words.</param>
internal sealed class ReportStory(ReportFacts facts, PageWords words)
{
    /// <summary>The sentences.</summary>
    /// <param name="year">The planting's season.</param>
    public IEnumerable<string> Of(YearFacts year)
    {
        yield return Sprays(year);
        yield return Buds(year);
        yield return Windows(year);
        yield return Looks(year);
        yield return End(year);
    }

    private string Sprays(YearFacts year)
    {
        var days = year.Entries.OfType<SprayEntry>().Select(spray => words.Day(spray.On)).Distinct().ToList();
        return days.Count == 0 ? words.Say("report.story.no-spray") : words.Say("report.story.sprayed", ("days", words.List(days)));
    }

    private string Buds(YearFacts year)
    {
        var swell = year.DatesOf(BudStage.LeafBudSwell).Expected;
        var key = !year.IsFollowed ? "report.story.not-followed"
            : swell is not { } on ? "report.story.no-swell"
            : on > year.Today ? "report.story.swell-ahead"
            : year.IsSeen(BudStage.LeafBudSwell, on) ? "report.story.swell-seen" : "report.story.swell-reckoned";
        return words.Say(key, ("day", swell is { } day ? words.Day(day) : ""));
    }

    private string Windows(YearFacts year)
    {
        if (facts.Slice is null)
            return words.Say("report.story.no-weather");
        var (windows, unknown) = (YearStrip.Windows(year).ToList(), new YearTable(year, words).Unknown("report.story.unknown"));
        if (windows.Count == 0 && year.IsUnseen)
            return words.Say("report.story.no-window-known");
        if (windows.Count == 0)
            return unknown is null
                ? words.Say(year.Exposed.Open > 0 ? "report.story.no-window" : "report.story.not-open")
                : $"{words.Say("report.story.no-window-known").TrimEnd('.')}; {unknown}";
        var worst = windows.MaxBy(window => window.Level);
        var covered = windows.Count(window => window.Cover == Cover.Fresh);
        var told = words.Count(
            "report.story.windows",
            windows.Count,
            ("level", words.Level(worst.Level)),
            ("day", words.Day(LocalDay.Of(worst.OpenedAt, facts.Site.Zone))),
            ("covered", words.Number(covered)));
        return unknown is null ? told : $"{told.TrimEnd('.')}; {unknown}";
    }

    private string Looks(YearFacts year)
    {
        var looks = year.Entries.OfType<ScoutEntry>().ToList();
        if (looks.Count == 0)
            return words.Say("report.story.no-look");
        if (looks.Find(look => look.Curled > 0) is not { } found)
            return words.Count("report.story.clean", looks.Count);
        var picked = year.Entries.OfType<PickEntry>().FirstOrDefault(pick => pick.On >= found.On);
        return words.Say(
            picked is null ? "report.story.curl" : "report.story.curl-picked",
            ("curled", words.Number(found.Curled)),
            ("shoots", words.Number(found.Shoots)),
            ("day", words.Day(found.On)),
            ("picked", picked is null ? "" : words.Day(picked.On)));
    }

    private string End(YearFacts year) =>
        year.ClosedOn is { } closed ? words.Say("report.story.closed", ("day", words.Day(closed)))
        : year.OverAtTheLatest is { } by && by > year.Today ? words.Say("report.story.open-until", ("day", words.Day(by)))
        : words.Say(
            year.Today < year.Season.End.AddDays(-1) && !year.IsUnseen ? "report.story.open" : "report.story.end-unknown");
}
