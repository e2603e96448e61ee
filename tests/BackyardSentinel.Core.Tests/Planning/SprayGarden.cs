using BackyardSentinel.Spraying;

namespace BackyardSentinel.Tests.Planning;

/// <summary>An invented garden for spraying: Tannery Lane, two plantings, a copper, a lime sulfur, an oil.</summary>
internal static class SprayGarden
{
    public const string Peach = "white-peach";

    public static readonly DateTimeOffset Now = new(2027, 1, 20, 6, 0, 0, TimeSpan.Zero);

    public static readonly DateOnly Today = new(2027, 1, 20);

    public static readonly SprayProduct Copper = new()
    {
        Id = "copper",
        Name = "copper",
        Active = ActiveIngredient.CopperHydroxide,
        CopperPct = 50,
        DosePerL = 4,
    };

    public static readonly SprayProduct LimeSulfur = new()
    {
        Id = "lime-sulfur",
        Name = "lime-sulfur",
        Active = ActiveIngredient.LimeSulfur,
        Unit = ProductUnit.Millilitre,
        DosePerL = 50,
    };

    public static readonly SprayProduct Oil = new()
    {
        Id = "oil",
        Name = "oil",
        Active = ActiveIngredient.Oil,
        Unit = ProductUnit.Millilitre,
        DosePerL = 20,
    };

    public static readonly IReadOnlyList<AirObserved> MildPast =
    [
        .. Enumerable.Range(1, 48).Select(back => new AirObserved(Now.AddHours(-back), 12, 60)),
    ];

    public static readonly ExpectedSwell Swell = new(new(2027, 2, 12), new(2027, 2, 6), new(2027, 2, 19), $"invented");

    /// <summary>Seasons begin on 1 September and bear the year of their spring.</summary>
    public static int SeasonOf(DateOnly day) => day.Month >= 9 ? day.Year + 1 : day.Year;

    public static SprayEntry Spray(
        long number,
        string on,
        string product = "copper",
        double volumeL = 5,
        double? dose = null,
        string planting = Peach
    ) => new(number, "south-wall", planting, DateOnly.ParseExact(on, "yyyy-MM-dd"), product, volumeL, dose);

    public static SprayLedger Ledger(params SprayEntry[] entries) => Ledger([Copper, LimeSulfur, Oil], entries);

    public static SprayLedger Ledger(IEnumerable<SprayProduct> products, params SprayEntry[] entries) =>
        new(entries, products, new Dictionary<string, double> { [Peach] = 10 }, SeasonOf);

    public static PlanRequest Request(PlanPlanting planting, SprayProduct product, params SprayEntry[] sprays) => new()
    {
        AsOf = Now,
        Plantings = [planting],
        Products = [product],
        Ledger = Ledger([product, .. new[] { Copper, LimeSulfur, Oil }.Where(other => other.Id != product.Id)], sprays),
        Forecast = Fair(),
        ObservedRain = [],
        ObservedAir = MildPast,
        SunElevationDeg = _ => 45, // Up all day: hours are told apart by weather alone.
    };

    public static PlanPlanting Bare(int? stage = 0, TreeKind kind = TreeKind.Peach) =>
        new() { Id = Peach, Kind = kind, Stage = stage, BudSwell = Swell, CurlLastSpring = false };

    /// <summary>A fair hour: 12 °C, 60 %, a light steady wind, dry.</summary>
    public static ForecastHour FairHour(DateTimeOffset start) => new(start, 12, 60, 0, 0, 2.4, 20);

    /// <summary>Ten fair days, with hours to be changed.</summary>
    public static Forecast Fair(Func<int, ForecastHour, ForecastHour>? change = null, int hours = 264) =>
        new(
            "invented",
            Now,
            [.. Enumerable.Range(0, hours).Select(i => change is null ? FairHour(Now.AddHours(i)) : change(i, FairHour(Now.AddHours(i))))]);
}
