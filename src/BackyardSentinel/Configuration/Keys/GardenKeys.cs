using BackyardSentinel.Delivery;
using BackyardSentinel.Units;
using static BackyardSentinel.Configuration.Keys.Forms;

namespace BackyardSentinel.Configuration.Keys;

/// <summary>
/// Every key of the garden file, a file for each part beside this one. The readers, the schema, the documentation and the
/// tests follow these tables.
/// </summary>
public static class GardenKeys
{
    /// <summary>The top of the file.</summary>
    public static GardenSection Garden { get; } = new("garden", $"the garden file", [
        new("name", Text(60), "The garden's name in messages.", "Garden"),
        new(
            "units",
            OneOf(UnitSystem.Metric.Word, UnitSystem.Us.Word),
            "The units of everything you read and write: metric, or us for °F, inches, mph, square feet and gallons. "
                + "Topics, JSON and CSV stay metric.",
            UnitSystem.Metric.Word),
        new(
            "language",
            OneOf(AlertWords.Languages),
            "The language of alerts, page and season report: en (English) or de (German). Commands and logs stay English.",
            AlertWords.Languages[0]),
        new("broker", Part("broker"), "The MQTT broker the sensors publish to."),
        new("store", Part("store"), "Where readings are kept."),
        new("capture", Part("capture"), "Sensors' messages kept as they come, for replay. Left out: only readings are kept."),
        new(
            "include",
            new ValueListForm($"a list of files such as gardens/*.yaml", AreNumbers: false),
            "Files whose sites, series, rules and products come behind those of this file, for many gardens; '*' in a file's name "
                + "stands for anything."),
        new(
            "sites",
            List("site", $"a list of at least one site"),
            "The microclimates of the garden, each with its own sensors and trees; at least one, here or in an included file."),
        new(
            "series",
            List("series", $"a list of series"),
            "Sensors that every site has, beside its own; {site} in a topic is replaced by the site's id."),
        new(
            "rules",
            List("rule", $"a list of rules of your own"),
            "Variants of the infection rules under names of your own, judged beside the three at every site."),
        new("products", List("product", $"a list of products"), "The spray products in the shed, with the figures of their labels."),
        new("forecast", Part("forecast"), "Where the weather forecast comes from."),
        new("alerts", Part("alerts"), "Which alerts, when, to whom."),
        new("page", Part("page"), "A page for the phone and the kitchen, served by the program. Left out: none."),
        new("influx", Part("influx"), "An InfluxDB 2 server that readings and judgements are copied to."),
    ])
    {
        Rules = [new AnyOf("sites", "include")],
    };

    /// <summary>The top of a file that the garden file includes.</summary>
    public static GardenSection Included { get; } = new(
        "included",
        $"an included file",
        [Garden["sites"], Garden["series"], Garden["rules"], Garden["products"]]);

    /// <summary>All parts, top first.</summary>
    public static IReadOnlyList<GardenSection> Sections { get; } =
    [
        Garden,
        Included,
        BrokerKeys.Broker,
        BrokerKeys.Store,
        BrokerKeys.Capture,
        SiteKeys.Site,
        SeriesKeys.Series,
        PlantingKeys.Planting,
        PlantingKeys.HeatNeeds,
        RuleKeys.Rule,
        ProductKeys.Product, ForecastKeys.Forecast, ForecastKeys.Quantity, AlertKeys.Alerts, AlertKeys.Destination, AlertKeys.Header,
        PageKeys.Page, InfluxKeys.Influx,
    ];
}
