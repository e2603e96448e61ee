using BackyardSentinel.Garden;
using BackyardSentinel.Live;
using BackyardSentinel.Planning;
using BackyardSentinel.Spraying;

namespace BackyardSentinel.Web.Spraying;

/// <summary>Puts the spray plan of a site into words: by when, and when best?</summary>
internal static class SprayingPage
{
    /// <summary>Makes the plan. Runs on the loop's thread; nothing of what it gives changes later.</summary>
    /// <param name="visit">The visit.</param>
    /// <param name="now">The garden now.</param>
    public static SprayingScene Look(Visit visit, GardenNow now)
    {
        var (request, plan) = now.PlanOf(visit.Site.Id);
        return new SprayingScene(visit, Leaves.Of(visit, now, Chapter.Spraying), request, plan);
    }

    /// <summary>Makes the view.</summary>
    /// <param name="scene">The plan.</param>
    public static SprayingView Of(SprayingScene scene)
    {
        var (request, plan) = (scene.Request, scene.Plan);
        var (mix, noMix) = SprayingMix.Of(scene);
        return new SprayingView(
            scene.Leaf,
            Headline(scene),
            Lines(scene),
            AsOf(scene),
            Thoughts(scene),
            Due(scene),
            SprayingTimetable.Of(scene),
            Refused(scene),
            mix,
            noMix,
            // What stands with the mix already is not said twice.
            [.. SpraySafety.For(request.Products).Select(scene.Visit.Words.Say).Except(mix?.Cautions ?? [])],
            [.. request.Plantings.Select(planting => SprayingLedger.Of(scene, planting)).OfType<LedgerView>()],
            Allowances(scene),
            [.. plan.Notes.Where(note => note != SpraySafety.Label).Select(scene.Visit.Words.Say)]);
    }

    private static string Headline(SprayingScene scene)
    {
        var words = scene.Visit.Words;
        if (scene.Next is not { By: { } by } next || scene.FreeFungicides.Count == 0)
            return words.Say(PlanAnswer.Of(scene.Request, scene.Plan));
        var (best, of) = (scene.Best, next.What == DueTask.LeafFall ? "leaf-fall." : "");
        if (best is null && next.CountsFrom > words.DayOf(scene.Plan.AsOf))
            return words.Say(PlanAnswer.Of(scene.Request, scene.Plan));
        return best is null
            ? scene.Say(of + "by", ("day", words.Date(by)))
            : scene.Say(
                of + "by-best",
                ("day", words.Date(by)),
                ("from", words.Moment(best.Start)),
                ("to", words.Moment(best.End, best.Start)));
    }

    private static IReadOnlyList<string> Lines(SprayingScene scene)
    {
        var answer = scene.Visit.Words.Say(PlanAnswer.Of(scene.Request, scene.Plan));
        return answer == Headline(scene) ? [] : [answer];
    }

    private static string AsOf(SprayingScene scene)
    {
        var words = scene.Visit.Words;
        return scene.Plan.Forecast is { } forecast
            ? scene.Say(
                "as-of",
                ("time", words.Moment(scene.Plan.AsOf)),
                ("issued", words.Moment(forecast.Issued, scene.Plan.AsOf)),
                ("until", words.Moment(forecast.Until)))
            : scene.Say("as-of.no-forecast", ("time", words.Moment(scene.Plan.AsOf)));
    }

    /// <summary>Plantings that the next spray would bring over the benchmark, or further over it.</summary>
    private static IReadOnlyList<string> Thoughts(SprayingScene scene) =>
    [
        .. scene.Request.Plantings
            .Select(planting => (planting, Would: scene.WouldBe(planting)))
            .Where(one => one.Would is { } would && CopperBenchmark.IsOver(would))
            .Select(one => scene.Say(
                "thought",
                ("name", one.planting.Called),
                ("amount", scene.Visit.Words.Figure(scene.Request.Units.MassPerArea(one.Would!.Value.SevenYearKgPerHa!.Value))),
                ("benchmark", scene.Visit.Words.Figure(scene.Request.Units.MassPerArea(CopperBenchmark.SevenYearsKgPerHa))))),
    ];

    private static IReadOnlyList<(string, string, string)> Due(SprayingScene scene)
    {
        var words = scene.Visit.Words;
        return
        [
            .. scene.Plan.Plantings
                .SelectMany(planting => planting.Due, (planting, due) => (planting.Planting, Due: due))
                .GroupBy(one => (one.Due.What, one.Due.Why))
                .Select(same => (
                    scene.Say("due." + same.Key.What.Word().Replace(' ', '-')),
                    words.List([
                        .. same.Select(one => one.Due.By is { } by
                            ? scene.Say("due.by", ("name", scene.Request.Called(one.Planting)), ("day", words.Date(by)))
                            : scene.Request.Called(one.Planting)),
                    ]),
                    words.Say(same.Key.Why))),
        ];
    }

    private static IReadOnlyList<(string, string, string, string)> Refused(SprayingScene scene)
    {
        var words = scene.Visit.Words;
        return
        [
            .. scene.Plan.Refused
                .GroupBy(one => (one.Product, one.From, one.To, one.Reason))
                .Select(same => (
                    words.List([.. same.Select(one => scene.Request.Called(one.Planting))]),
                    scene.Request.ProductCalled(same.Key.Product),
                    same.Key.From <= scene.Plan.AsOf
                        ? same.Key.To >= scene.Plan.Until
                            ? scene.Say("refused.throughout")
                            : scene.Say("refused.until", ("until", words.Moment(same.Key.To)))
                        : scene.Say("refused.from", ("from", words.Moment(same.Key.From))),
                    words.Say(same.Key.Reason))),
        ];
    }

    private static IReadOnlyList<(string, string, string, string)> Allowances(SprayingScene scene)
    {
        var (words, request) = (scene.Visit.Words, scene.Request);
        var today = words.DayOf(scene.Plan.AsOf);
        return
        [
            .. request.Products.SelectMany(product => request.Plantings, (product, planting) =>
            {
                var done = request.Ledger.InSeason(planting.Id, today).Count(one => one.Product.Id == product.Id);
                var allowance = request.Ledger.Allowance(product, planting.Id, today);
                List<string> left =
                [
                    allowance.ApplicationsLeft is { } number ? words.Number(number) : scene.Say("allows.no-limit"),
                    .. allowance.CopperLeftKgPerHa is { } copper
                        ? new[] { scene.Say("allows.copper", ("amount", words.Figure(request.Units.MassPerArea(Math.Max(0, copper))))) }
                        : [],
                    .. allowance.NotBefore is { } day && day > today
                        ? new[] { scene.Say("allows.not-before", ("day", words.Date(day))) }
                        : [],
                ];
                return (
                    product.Name,
                    planting.Called,
                    product.Label.MaxApplicationsPerSeason is { } most
                        ? scene.Say("allows.done-of", ("done", words.Number(done)), ("most", words.Number(most)))
                        : words.Number(done),
                    string.Join(", ", left));
            }),
        ];
    }
}
