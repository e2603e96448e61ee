using BackyardSentinel.Garden;
using BackyardSentinel.Units;
using BackyardSentinel.Wording;
using static BackyardSentinel.Configuration.Keys.Forms;

namespace BackyardSentinel.Configuration.Keys;

/// <summary>The keys of a site.</summary>
public static class SiteKeys
{
    private static readonly KeyForm TwelveMonths = new AmountListForm(
        $"a list of twelve temperatures in °C (°F with units: us) from -60 °C to 60 °C, January first; both climate keys or neither",
        12,
        Amount(Dimension.Temperature, -60, 60, mayBeBare: true, $""));

    /// <summary>Keys of one entry of <c>sites</c>.</summary>
    public static GardenSection Site { get; } = new("site", $"a site", [
        new("id", Identifier, "Short name used in topics.") { Required = true },
        new("zone", Zone, "Time zone; local days are counted in it.", "UTC"),
        new(
            "latitude",
            Number(-90, 90).And($", together with longitude"),
            "Degrees north of the equator, south negative; the season and the sun follow from it."),
        new("longitude", Number(-180, 180).And($", together with latitude"), "Degrees east of Greenwich, west negative."),
        new(
            "altitude",
            Amount(Dimension.Height, -430, 5000, mayBeBare: true, $"an altitude from -430 m to 5000 m"),
            "Altitude above sea level in m (ft with units: us); the usual air pressure there goes into how fast spray dries."),
        new(
            "soil_density",
            Number(0.1, 2.65),
            "Bulk density of the soil in t/m³; the rise of copper in it is worked out with this.",
            "1.3"),
        new(
            "climate_min",
            TwelveMonths,
            "Usual mean daily minimum of each month, January first; with it bud swell is predicted in the first year."),
        new("climate_max", TwelveMonths, "Usual mean daily maximum of each month, January first."),
        new(
            "step",
            OneOf("5m", "10m", "15m", "20m", "30m", "60m"),
            "Length of an interval in which weather is summed up.",
            "10m"),
        new(
            "hold",
            Duration("1m", "24h"),
            "The longest that a temperature, humidity, wetness or wind reading holds where the next one does not come.",
            "90m"),
        new("late_allowance", Duration("1m", "60m"), "How late a reading may arrive and still count in its interval.", "2m"),
        new("start_on", OneOf("rain", "wet"), "What starts a wet spell: rain only, or any wetness.", "rain"),
        new("dry_gap", Duration("0m", "48h"), "How long it may be dry within a wet spell before that ends.", "4h"),
        new(
            "wet_humidity",
            Number(WetSpellLimits.HumidityPct.Least, WetSpellLimits.HumidityPct.Most),
            "Humidity in % at and above which leaves count as wet where no leaf-wetness sensor has a value.",
            "90"),
        new(
            "wetness_estimator",
            OneOf(Enum.GetValues<WetnessEstimator>().Select(WetnessEstimatorWords.Word)),
            "How wetness is judged where no leaf-wetness sensor has a value.",
            WetnessEstimator.HumidityThreshold.Word()),
        new("unknown_after", Duration("10m", "48h"), "After how long without evidence the level turns to unknown.", "2h"),
        new(
            "level_rule",
            Text(40, $"{Sentence.Names(RuleNames.Words)}, or a name under 'rules'", RuleNames.Form),
            "The infection rule that drives alerts; the others are second opinions.",
            RuleName.WetHours.Word()),
        new(
            "series",
            List("series", $"a list of series, at least one here or at the top of the file"),
            "The site's sensors. Within a quantity the first in the list is preferred; those of all sites come after them."),
        new("plantings", List("planting", $"a list of plantings"), "The trees judged at this site."),
    ])
    {
        Rules = [new Together("latitude", "longitude"), new Together("climate_min", "climate_max")],
    };
}
