using BackyardSentinel.Units;

namespace BackyardSentinel.Garden;

/// <summary>One microclimate with its sensors, plantings and limits of judgement.</summary>
public sealed record Site
{
    /// <summary>Short id used in topics: letters, digits, hyphen.</summary>
    public required string Id { get; init; }

    /// <summary>The site's time zone; local days (rule <c>rain-day</c>) are counted in it.</summary>
    public TimeZoneInfo Zone { get; init; } = TimeZoneInfo.Utc;

    /// <summary>The units in which texts are told to people.</summary>
    public UnitSystem Units { get; init; } = UnitSystem.Metric;

    /// <summary>Latitude, −90 to 90 °, south negative; <c>null</c>: not known, and so the season's start is not.</summary>
    public double? LatitudeDeg { get; init; }

    /// <summary>Longitude, −180 to 180 °, west negative; <c>null</c>: not known.</summary>
    public double? LongitudeDeg { get; init; }

    /// <summary>Altitude above sea level, m; 0 unless told.</summary>
    public double AltitudeM { get; init; }

    /// <summary>Bulk density of the soil, t/m³, 0.1 to 2.65; 1.3 unless set.</summary>
    public double SoilDensityTPerM3 { get; init; } = 1.3;

    /// <summary>The grower has said outright in which unit rain is told, so fine steps are no sign of another.</summary>
    public bool RainUnitStated { get; init; }

    /// <summary>The usual year of the place; <c>null</c>: nobody gave one. It stands in for what was not measured.</summary>
    public DailyClimate? Climate { get; init; }

    /// <summary>The garden's products; sprays in the journal name them.</summary>
    public IReadOnlyList<SprayProduct> Products { get; init; } = [];

    /// <summary>The plantings judged here.</summary>
    public IReadOnlyList<Planting> Plantings { get; init; } = [];

    /// <summary>The planting is judged here.</summary>
    /// <param name="planting">The planting's id.</param>
    public bool Has(string planting) => Plantings.Any(one => one.Id == planting);

    /// <summary>How texts for people call a planting; one that is not here, by its id.</summary>
    /// <param name="planting">The planting's id.</param>
    public string Called(string planting) => Plantings.FirstOrDefault(one => one.Id == planting)?.Called ?? planting;

    /// <summary>How texts for people call a product; one that is not here, by its id.</summary>
    /// <param name="product">The product's id.</param>
    public string ProductCalled(string product) => Products.FirstOrDefault(one => one.Id == product)?.Name ?? product;

    /// <summary>Length of an interval: 5, 10 (default), 15, 20, 30 or 60 minutes.</summary>
    public TimeSpan Step { get; init; } = TimeSpan.FromMinutes(10);

    /// <summary>How long a momentary level reading holds at most; 90 minutes unless set.</summary>
    public TimeSpan Hold { get; init; } = TimeSpan.FromMinutes(90);

    /// <summary>
    /// How late a reading may arrive and still count in its interval; an interval is judged this long after its end.
    /// 2 minutes unless set, at least 1 minute.
    /// </summary>
    public TimeSpan LateAllowance { get; init; } = TimeSpan.FromMinutes(2);

    /// <summary>
    /// Leaf-wetness value at and above which the sensor turns wet. For a sensor that falls when wet, see <see cref="LeafWetInverted"/>.
    /// </summary>
    public double LeafWetOn { get; init; } = 50;

    /// <summary>Leaf-wetness value below which the sensor turns dry again; equal to <see cref="LeafWetOn"/> for no hysteresis.</summary>
    public double LeafWetOff { get; init; } = 20;

    /// <summary>The sensor's raw value falls when it is wet: wet at or below on, dry above off.</summary>
    public bool LeafWetInverted { get; init; }

    /// <summary>The leaf-wetness sensor tells for how much of the time its leaf was wet, 0 to 100; the limits do not count then.</summary>
    public bool LeafWetIsShare { get; init; }

    /// <summary>The scale of the leaf-wetness sensor that hangs under the rain shelter; <c>null</c>: there is none.</summary>
    public WetnessScale? UnderShelter { get; init; }

    /// <summary>What makes a wet spell here.</summary>
    public WetSpellLimits Spell { get; init; } = WetSpellLimits.Usual;

    /// <summary>The site has a rain series. Without one, wetness alone starts a spell and no amount of it is asked for.</summary>
    public bool HasRainGauge { get; init; } = true;

    /// <summary>After how long without evidence a susceptible planting's level turns unknown; 2 hours unless set.</summary>
    public TimeSpan UnknownAfter { get; init; } = TimeSpan.FromHours(2);

    /// <summary>The rules that judge side by side, with their limits; all of them with the published ones unless set.</summary>
    public IReadOnlyList<RuleLimits> Rules { get; init; } = PublishedRules;

    /// <summary>Every rule that there is, with its published limits.</summary>
    public static IReadOnlyList<RuleLimits> PublishedRules { get; } = [new WetHoursLimits(), new RainDayLimits(), new TwoDayLimits()];

    /// <summary>Rules with names and limits of the garden's own, which judge beside them.</summary>
    public IReadOnlyList<RuleVariant> Variants { get; init; } = [];

    /// <summary>The name of the rule, or variant, whose level is the planting's level; <c>wet-hours</c> unless set.</summary>
    public string LevelRule { get; init; } = RuleName.WetHours.Word();

    /// <summary>The names of all that judge here, rules first.</summary>
    public IReadOnlyList<string> RuleNames => [.. Rules.Select(limits => limits.Rule.Word()), .. Variants.Select(variant => variant.Name)];

    /// <summary>Which of the rules judges under a name: the one that bears it, or the one that it is a variant of.</summary>
    /// <param name="name">One of <see cref="RuleNames"/>.</param>
    public RuleName RuleOf(string name) => Garden.RuleNames.Of(name) ?? Variants.First(variant => variant.Name == name).Of;

    /// <summary>The rule that a name is a variant of; <c>null</c>: it is a rule's own.</summary>
    /// <param name="name">One of <see cref="RuleNames"/>.</param>
    public RuleName? VariantOf(string name) => Variants.FirstOrDefault(variant => variant.Name == name)?.Of;

    /// <summary>The limits that hold under a name on a day.</summary>
    /// <param name="name">One of <see cref="RuleNames"/>.</param>
    /// <param name="day">The local day.</param>
    public RuleLimits LimitsOf(string name, DateOnly day) => Variants
        .Where(variant => variant.Name == name)
        .SelectMany(variant => variant.Changes)
        .Where(change => change.From <= day)
        .Select(change => change.Limits)
        .LastOrDefault() ?? Rules.First(limits => limits.Rule == RuleOf(name));
}
