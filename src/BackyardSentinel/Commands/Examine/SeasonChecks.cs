using System.Text.Json;
using BackyardSentinel.Commands.Explain;
using BackyardSentinel.Garden;
using BackyardSentinel.Phenology;
using BackyardSentinel.Storage;
using BackyardSentinel.Watching;
using BackyardSentinel.Weather;
using BackyardSentinel.Wording;

namespace BackyardSentinel.Commands.Examine;

/// <summary>Checks of forecast, journal, stages and products.</summary>
internal static class SeasonChecks
{
    public static Verdict HasForecast(Scene scene)
    {
        if (scene.Garden.Forecast is null)
            return Verdict.Look(
                $"The garden file names no forecast, so plan cannot tell the hours to spray.",
                $"Name a source under forecast; see docs/forecast.md.");
        if (StoreChecks.NotRead(scene) is { } not)
            return not;
        if (Issued(scene.Store.Forecast) is not { } issued)
            return Verdict.Look($"No forecast has come yet.", $"See the service's log, and forecast in the garden file.");
        var age = scene.Now - issued;
        return new Forecast("", issued, []).IsStale(scene.Now)
            ? Verdict.Look(
                $"The last forecast is {ExplainWords.Span(age)} old and is no longer used.",
                $"See the service's log, and whether the source still answers.")
            : Verdict.Fine($"The last forecast is {ExplainWords.Span(age)} old.");
    }

    public static Verdict JournalIsSound(Scene scene)
    {
        if (StoreChecks.NotRead(scene) is { } not)
            return not;
        List<Sentence> findings = [];
        var standing = JournalRow.Standing(scene.Store.Journal);
        foreach (var site in scene.Garden.Sites)
            JournalCheck.Sound(standing.Where(entry => entry.Site == site.Id), new SeasonCalendar(site.LatitudeDeg), findings.Add);
        findings.AddRange(JournalCheck.Strangers(standing, [.. scene.Garden.Sites]));
        return findings.Count == 0
            ? Verdict.Fine(
                $"No entry of the journal speaks against another ({standing.Count} hold).")
            : Verdict.Look(
                findings[0].Fit(TerminalText.Plain), $"See journal list; correct with journal add … --corrects, or journal withdraw.");
    }

    public static Verdict StagesAreKnown(Scene scene)
    {
        var standing = JournalRow.Standing(scene.Store.Journal);
        foreach (var site in scene.Garden.Sites)
        {
            foreach (var planting in site.Plantings)
            {
                var isSeen = standing.Any(entry => entry is StageEntry && entry.Site == site.Id && entry.Planting == planting.Id);
                if (planting.Follows is null && planting.Stage is null && !isSeen)
                    return Verdict.Look(
                        $"The bud stage of {new Name(planting.Called)} is neither computed nor ever seen.",
                        $"Look at the buds: backyard-sentinel journal add stage swell --planting {new Name(planting.Id)}; "
                            + $"or give the site's place and the planting's needs.");
            }
        }

        return Verdict.Fine($"The bud stages of all plantings are followed or have been seen.");
    }

    public static Verdict NeedsAreTheVarietys(Scene scene)
    {
        List<string> usual =
            [
                .. scene.Garden.Sites.SelectMany(site => site.Plantings)
                .Where(planting => planting is { Follows: not null, ChillNeedIsUsual: true })
                .Select(planting => planting.Called),
            ];
        return usual.Count == 0
            ? Verdict.Fine($"All plantings that are computed have needs of their own.")
            : Verdict.Look(
                $"{Sentence.Names(usual.Take(4))}: the usual chill need of the kind is taken; varieties differ up to two-fold.",
                $"Give chill_need where you know it, and log a stage each spring; fit reckons from them.");
    }

    public static Verdict LabelsAreWhole(Scene scene)
    {
        if (scene.Garden.Products.Count == 0)
            return Verdict.Look(
                $"The garden file has no products, so no spray is planned or counted.",
                $"Enter yours with the label's figures under products; see docs/spraying.md.");
        if (scene.Garden.Products.FirstOrDefault(product => product.IsTemplate) is { } generic)
            return Verdict.Look(
                $"{new Name(generic.Name)} has generic figures.", $"Compare every one with the label, which is the law, and write yours.");
        return scene.Garden.Products.FirstOrDefault(product => product.Check(scene.Garden.Units).Count > 0) is { } lacking
            ? Verdict.Look(
                $"{new Name(lacking.Name)}: {lacking.Check(scene.Garden.Units)[0]}",
                $"Write the label's figure; see docs/spraying.md.")
            : Verdict.Fine($"The products have the label's figures that sprays are counted by.");
    }

    private static DateTimeOffset? Issued(byte[]? forecast)
    {
        if (forecast is null)
            return null;
        try
        {
            using var document = JsonDocument.Parse(forecast);
            return document.RootElement.TryGetProperty("issued", out var issued) && issued.TryGetDateTimeOffset(out var at) ? at : null;
        }
        catch (JsonException)
        {
            return null;
        }
    }
}
