using BackyardSentinel.Delivery;
using BackyardSentinel.Garden;
using BackyardSentinel.Infection;
using BackyardSentinel.Live;
using BackyardSentinel.Phenology;
using BackyardSentinel.Watching;

namespace BackyardSentinel.Web.Now;

/// <summary>One planting's entry: mark, sentence, stage, cover, second opinions.</summary>
internal static class NowTree
{
    /// <summary>The entry.</summary>
    /// <param name="visit">The visit.</param>
    /// <param name="now">The garden now.</param>
    /// <param name="planting">The planting.</param>
    /// <param name="outlook">Looks ahead at the site's stages from now.</param>
    public static TreeView Of(Visit visit, GardenNow now, PlantingWatch planting, SwellOutlook outlook)
    {
        var (words, tree, risk) = (visit.Words, planting.Planting, planting.Risk);
        List<(string, Lazy<string>)> facts = [];
        Add("tree.stage", Stage(visit, planting));
        if (Next(visit, planting, outlook) is { } next)
            facts.Add((words.Say("tree.next"), next));
        if (risk.Cover is { } cover)
            Add("tree.cover", CoverText(visit, planting, cover));
        if (planting.Shelter.OnSince(words.DayOf(now.At)) is { } since)
            Add("tree.shelter", words.Say("tree.shelter.since", ("day", words.Day(since))));
        var others = risk.Opinions.Where(one => one.Key != visit.Site.LevelRule).ToList();
        if (others.Count > 0 && risk.Level != Level.Unknown && risk.Susceptibility > 0)
            Add("tree.opinions", string.Join(", ", others.Select(one => $"{words.Rule(one.Key)} {words.Level(one.Value)}")));
        return new TreeView(
            tree.Id,
            tree.Called,
            Kind(visit, tree),
            risk.Level,
            risk is { Level: >= Level.Possible, Cover: Cover.Fresh },
            LevelText(words, risk),
            risk.Level == Level.Unknown ? "" : words.Say("level.number", ("number", words.Number((int)risk.Level))),
            Lines(visit, now, planting),
            facts);

        void Add(string name, string value) => facts.Add((words.Say(name), new Lazy<string>(value)));
    }

    /// <summary>The level's word, and whether it holds only if the buds have opened.</summary>
    public static string LevelText(PageWords words, PlantingRisk risk) => risk is { StageSure: false, Level: >= Level.Building }
        ? words.Say("tree.if-open", ("level", words.Level(risk.Level)))
        : words.Level(risk.Level);

    /// <summary>Variety, kind, number of trees.</summary>
    public static string Kind(Visit visit, Planting tree)
    {
        var kind = visit.Words.Say("kind." + tree.Kind.Word());
        var trees = visit.Words.Count("trees", tree.Trees);
        return tree.Variety is { } variety ? $"{variety}, {kind}, {trees}" : $"{kind}, {trees}";
    }

    /// <summary>How it stands, a sentence each; never none.</summary>
    public static IReadOnlyList<string> Lines(Visit visit, GardenNow now, PlantingWatch planting)
    {
        var (words, risk) = (visit.Words, planting.Risk);
        List<string> lines =
        [
            risk.Level switch
            {
                Level.Unknown => words.Say("tree.unknown"),
                Level.Clear when risk.Susceptibility == 0 => words.Say(planting.Stage.Open.ClosedOn is null ? "tree.shut" : "tree.closed"),
                Level.Clear when risk.Sheltered => words.Say("tree.sheltered"),
                Level.Clear => words.Say("tree.clear"),
                Level.Building when risk.FractionReached is { } share =>
                    words.Say("tree.building.share", ("percent", words.Number(Math.Floor((share * 100) + 1e-9), "0"))),
                Level.Building => words.Say("tree.building"),
                Level.Possible => words.Say("tree.possible"),
                Level.Likely => words.Say("tree.likely"),
                Level.Severe => words.Say("tree.severe"),
            },
        ];
        if (risk.Uncertain && risk.Level != Level.Unknown)
            lines.Add(words.Say("tree.uncertain"));
        if (planting.Incubations.MinBy(one => one.LikelyFrom) is { } first && risk.Level < Level.Possible)
            lines.Add(words.Say(
                "tree.earlier",
                ("day", words.Moment(first.OpenedAt, now.At)),
                ("from", words.Day(first.LikelyFrom)),
                ("to", words.Day(first.LikelyTo))));
        return lines;
    }

    private static string Stage(Visit visit, PlantingWatch planting)
    {
        var (words, stage) = (visit.Words, planting.Stage);
        if (stage.Model is null)
            return stage.Code is { } held
                ? words.Say("tree.stage.held", ("stage", words.Say("stage." + held)))
                : words.Say("tree.stage.always");
        if (stage.Doubt is not null || stage.Code is not { } code)
            return words.Say("tree.stage.unknown");
        var swell = stage.Model.DatesOf(BudStage.LeafBudSwell);
        if (!stage.IsSure)
            return words.Say("tree.stage.maybe", ("day", swell.Early is { } early ? words.Day(early) : words.Say("not-known")));
        return words.Say(
            stage.Source == StageSource.Logged ? "tree.stage.seen" : "tree.stage.computed",
            ("stage", words.Say("stage." + code)));
    }

    /// <summary>
    /// The next stage of the leaf buds that the sums have not reached, and about when; reckoned where the page is drawn, beside the
    /// loop's thread.
    /// </summary>
    private static Lazy<string>? Next(Visit visit, PlantingWatch planting, SwellOutlook outlook)
    {
        var words = visit.Words;
        if (planting.Stage is not { Model: { } model, Doubt: null }
            || planting.Risk.Susceptibility == 0 && planting.Stage.Open.ClosedOn is not null)
            return null;
        var next = model.DatesOf(BudStage.LeafBudSwell).Expected is null ? BudStage.LeafBudSwell
            : model.DatesOf(BudStage.GreenTip).Expected is null ? BudStage.GreenTip : (BudStage?)null;
        if (next is not { } stage)
            return null;
        var chill = model.ChillMetOn is null && planting.Stage.Buds != BudState.Open
            ? words.Say(
                "tree.next.chill",
                ("percent", words.Number(Math.Floor(100 * Math.Min(1, model.ChillSum / model.Needs.ChillNeed)), "0")))
            : null;
        var ahead = outlook.StagesOf(model);
        return new Lazy<string>(() =>
        {
            var name = ("stage", words.Say("stage." + stage.Code));
            var dates = ahead?.Reckon().Stages.First(one => one.Stage == stage).Dates;
            var about = dates is { Early: { } early, Expected: { } on, Late: { } late }
                ? words.Say("tree.next.about", name, ("day", words.Day(on)), ("early", words.Day(early)), ("late", words.Day(late)))
                : null;
            return chill is null ? about ?? words.Say("tree.next.stage", name)
                : about is null ? chill
                : words.Say("tree.next.chill-then", ("chill", chill), ("stage", about));
        });
    }

    private static string CoverText(Visit visit, PlantingWatch planting, Cover cover) =>
        planting.Cover.Last is { } spray && cover != Cover.None
        ? visit.Words.Say(
            "tree.cover." + cover.Word(),
            ("product", visit.Site.ProductCalled(spray.Product)),
            ("day", visit.Words.Day(spray.On)),
            ("rain", visit.Words.Rain(planting.Cover.RainMm)))
        : visit.Words.Say("tree.cover.none");
}
