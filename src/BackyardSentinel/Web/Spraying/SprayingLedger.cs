using BackyardSentinel.Garden;
using BackyardSentinel.Planning;
using BackyardSentinel.Spraying;
using BackyardSentinel.Web.Drawing;

namespace BackyardSentinel.Web.Spraying;

/// <summary>The copper of one planting: what was sprayed, what it carries, what the next spray would make of it.</summary>
internal static class SprayingLedger
{
    /// <summary>The ledger; <c>null</c>: no copper was sprayed and none would be.</summary>
    public static LedgerView? Of(SprayingScene scene, PlanPlanting planting)
    {
        var (words, units, ledger) = (scene.Visit.Words, scene.Request.Units, scene.Request.Ledger);
        var today = words.DayOf(scene.Plan.AsOf);
        var season = ledger.SeasonOf(today);
        var sprays = ledger.Applications
            .Where(one => one.Entry.Planting == planting.Id && one.CopperG is not 0 && ledger.SeasonOf(one.Entry.On) > season - 7)
            .ToList();
        var next = scene.NextCopperG(planting);
        if (sprays.Count == 0 && next is null)
            return null;
        var balance = scene.Balance(planting);
        List<(string, string, string, string, bool)> rows =
        [
            .. sprays.Select(one => (
                words.DateOfYear(one.Entry.On),
                Entry(one.Entry.VolumeL, one.Entry.DosePerL ?? one.Product.DosePerL, one.Product),
                Mass(one.CopperG),
                PerArea(one.CopperKgPerHa),
                false)),
            (scene.Say("ledger.carried"), scene.Say("ledger.seven"), Mass(balance.SevenYearG), PerArea(balance.SevenYearKgPerHa), true),
        ];
        if (next is { } grams && scene.NextProduct is { } product)
        {
            var perArea = ledger.KgPerHa(planting.Id, grams);
            rows.Add((
                scene.Best is { } best ? scene.Say("ledger.if", ("day", words.Day(words.DayOf(best.Start)))) : scene.Say("ledger.next"),
                Entry(planting.SprayVolumeL!.Value, product.DosePerL, product),
                Mass(grams),
                PerArea(perArea),
                false));
            rows.Add(
                (
                    scene.Say("ledger.would"),
                    scene.Say("ledger.seven"),
                    Mass(balance.SevenYearG + grams),
                    PerArea(balance.SevenYearKgPerHa + perArea),
                    true));
        }

        return new LedgerView(
            scene.Say("ledger", ("name", planting.Called)),
            scene.Visit.Site.Plantings.First(one => one.Id == planting.Id).CanopyAreaM2 is { } area
                ? scene.Say("ledger.area", ("area", words.Figure(Area(scene, area))))
                : scene.Say("ledger.no-area"),
            rows,
            Bar(scene, planting, balance, next),
            [.. CopperBenchmark.Beside(balance, units).Select(words.Say)]);

        string Entry(double litres, double? dose, SprayProduct product) => scene.Say(
            "ledger.entry",
            ("product", product.Name),
            ("volume", words.Figure(units.Volume(litres))),
            ("dose", dose is { } perL ? words.Figure(units.Dose(perL, product.Unit)) : words.Say("not-known")));

        string Mass(double? grams) => grams is { } g ? words.Figure(units.Mass(g)) : words.Say("not-known");

        string PerArea(double? kgPerHa) => kgPerHa is { } kg ? words.Figure(units.MassPerArea(kg)) : words.Say("not-known");
    }

    private static Microsoft.AspNetCore.Html.IHtmlContent? Bar(
        SprayingScene scene, PlanPlanting planting, CopperBalance balance, double? nextG)
    {
        if (balance.SevenYearKgPerHa is not { } carried)
            return null;
        var (words, units) = (scene.Visit.Words, scene.Request.Units);
        var next = nextG is { } grams ? scene.Request.Ledger.KgPerHa(planting.Id, grams) ?? 0 : 0;
        var benchmark = words.Figure(units.MassPerArea(CopperBenchmark.SevenYearsKgPerHa));
        return CopperBar.Draw(
            carried,
            next,
            CopperBenchmark.SevenYearsKgPerHa,
            scene.Say("ledger.benchmark", ("amount", benchmark)),
            scene.Say(
                "ledger.bar",
                ("name", planting.Called),
                ("carried", words.Figure(units.MassPerArea(carried))),
                ("next", words.Figure(units.MassPerArea(next))),
                ("benchmark", benchmark)));
    }

    private static string Area(SprayingScene scene, double squareMetres)
    {
        var unit = scene.Request.Units.UnitOf(Units.Dimension.Area);
        return $"{scene.Visit.Words.Number(unit.FromReckoned(squareMetres))} {unit.Symbol}";
    }
}
