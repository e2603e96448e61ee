using BackyardSentinel.Garden;
using BackyardSentinel.Units;

namespace BackyardSentinel.Configuration;

/// <summary>One microclimate as the garden file describes it.</summary>
public sealed record GardenSite
{
    /// <summary>Short id used in topics.</summary>
    public required string Id { get; init; }

    /// <summary>The site's time zone.</summary>
    public TimeZoneInfo Zone { get; init; } = TimeZoneInfo.Utc;

    /// <summary>Degrees north, −90 to 90; <c>null</c>, like the longitude, when not told.</summary>
    public double? LatitudeDeg { get; init; }

    /// <summary>Degrees east, −180 to 180.</summary>
    public double? LongitudeDeg { get; init; }

    /// <summary>Altitude above sea level, m, −430 to 5000; <c>null</c> when not told.</summary>
    public double? AltitudeM { get; init; }

    /// <summary>Bulk density of the soil, t/m³, 0.1 to 2.65.</summary>
    public double SoilDensityTPerM3 { get; init; } = 1.3;

    /// <summary>Mean daily minimum of each month, °C, January first; <c>null</c>, like the maxima, when not told.</summary>
    public IReadOnlyList<double>? ClimateMinC { get; init; }

    /// <summary>Mean daily maximum of each month, °C, January first; each above its minimum.</summary>
    public IReadOnlyList<double>? ClimateMaxC { get; init; }

    /// <summary>The garden's units, in which everything is told to people.</summary>
    public UnitSystem Units { get; init; } = UnitSystem.Metric;

    /// <summary>Length of an interval.</summary>
    public TimeSpan Step { get; init; } = TimeSpan.FromMinutes(10);

    /// <summary>How long a level reading holds at most.</summary>
    public TimeSpan Hold { get; init; } = TimeSpan.FromMinutes(90);

    /// <summary>How late a reading may arrive and still count.</summary>
    public TimeSpan LateAllowance { get; init; } = TimeSpan.FromMinutes(2);

    /// <summary>A wet spell starts with any wetness instead of rain only.</summary>
    public bool StartsOnAnyWetness { get; init; }

    /// <summary>Humidity at and above which leaves count as wet, %.</summary>
    public double WetHumidityPct { get; init; } = 90;

    /// <summary>How wetness is judged without a leaf-wetness sensor.</summary>
    public WetnessEstimator Estimator { get; init; } = WetnessEstimator.HumidityThreshold;

    /// <summary>After how long without evidence the level turns unknown.</summary>
    public TimeSpan UnknownAfter { get; init; } = TimeSpan.FromHours(2);

    /// <summary>The rule that drives alerts.</summary>
    public RuleName LevelRule { get; init; } = RuleName.WetHours;

    /// <summary>The sensors; within a quantity the first is preferred.</summary>
    public required IReadOnlyList<GardenSeries> Series { get; init; }

    /// <summary>The trees judged here.</summary>
    public IReadOnlyList<GardenPlanting> Plantings { get; init; } = [];

    /// <summary>The site as the core judges it.</summary>
    /// <param name="products">The garden's products.</param>
    public Site ToSite(IReadOnlyList<GardenProduct>? products = null)
    {
        var site = new Site
        {
            Id = Id,
            Zone = Zone,
            Units = Units,
            LatitudeDeg = LatitudeDeg,
            LongitudeDeg = LongitudeDeg,
            AltitudeM = AltitudeM ?? 0,
            SoilDensityTPerM3 = SoilDensityTPerM3,
            RainUnitStated = Series.Any(s => s is { Quantity: Quantity.Rain, UnitIsStated: true }),
            Climate = this is { ClimateMinC: { } low, ClimateMaxC: { } high } ? DailyClimate.FromMonths(low, high) : null,
            Products = [.. (products ?? []).Select(ProductFigures.Of)],
            Plantings = [.. Plantings.Select(p => new Planting(p.Id, p.Kind, p.Stage)
            {
                Name = p.Name,
                Follows = p.StageSource == StageSource.Followed ? PlantingNeeds.Of(p) : null,
                CanopyAreaM2 = p.CanopyAreaM2,
                Trees = p.Trees,
                SprayVolumeL = p.SprayVolumeL,
                HadCurlLastSpring = p.HadCurlLastSpring,
            })],
            Step = Step,
            Hold = Hold,
            LateAllowance = LateAllowance,
            Estimator = Estimator,
            WetHumidityPct = WetHumidityPct,
            HasRainGauge = Series.Any(s => s.Quantity == Quantity.Rain),
            SpellStartsOnAnyWetness = StartsOnAnyWetness,
            UnknownAfter = UnknownAfter,
            LevelRule = LevelRule,
        };
        if (Series.FirstOrDefault(s => s.Quantity == Quantity.LeafWetnessUnderShelter) is { } under)
            site = site with { UnderShelter = ScaleOf(under) };
        // A site has one pair of wetness limits: those of its preferred sensor.
        return Series.FirstOrDefault(s => s.Quantity == Quantity.LeafWetness) is { } leaf
            ? site with { LeafWetOn = leaf.WetOn, LeafWetOff = leaf.WetOff, LeafWetInverted = leaf.Inverted, LeafWetIsShare = leaf.Every is not null }
            : site;
    }

    private static WetnessScale ScaleOf(GardenSeries leaf) =>
        leaf.Every is null ? new WetnessScale(leaf.WetOn, leaf.WetOff, leaf.Inverted) : WetnessScale.ShareOfTime;
}
