using BackyardSentinel.Delivery;
using BackyardSentinel.Garden;
using BackyardSentinel.Mqtt;
using BackyardSentinel.Sensors;
using BackyardSentinel.Units;

namespace BackyardSentinel.Configuration;

/// <summary>The whole installation as its owner described it.</summary>
public sealed record GardenFile
{
    /// <summary>The garden's name in messages.</summary>
    public string Name { get; init; } = "Garden";

    /// <summary>The units of everything that a person reads or writes.</summary>
    public UnitSystem Units { get; init; } = UnitSystem.Metric;

    /// <summary>The language of alerts, page and report: one of <see cref="AlertWords.Languages"/>.</summary>
    public string Language { get; init; } = AlertWords.Languages[0];

    /// <summary>Where sensor messages come from and results go.</summary>
    public BrokerOptions Broker { get; init; } = new();

    /// <summary>Where readings are kept.</summary>
    public StoreSettings Store { get; init; } = new();

    /// <summary>Where raw messages are kept too; <c>null</c>: nowhere.</summary>
    public CaptureSettings? Capture { get; init; }

    /// <summary>The microclimates, at least one.</summary>
    public required IReadOnlyList<Site> Sites { get; init; }

    /// <summary>The sensors of all sites; of a site and quantity the first is preferred.</summary>
    public required IReadOnlyList<SeriesMap> Series { get; init; }

    /// <summary>The spray products in the shed.</summary>
    public IReadOnlyList<SprayProduct> Products { get; init; } = [];

    /// <summary>Where the weather forecast comes from; <c>null</c> when there is none.</summary>
    public ForecastSettings? Forecast { get; init; }

    /// <summary>Which alerts, when, to whom.</summary>
    public AlertSettings Alerts { get; init; } = new();

    /// <summary>The page that is served; <c>null</c>: none.</summary>
    public PageSettings? Page { get; init; }

    /// <summary>The InfluxDB server that is written to; <c>null</c> when there is none.</summary>
    public InfluxSettings? Influx { get; init; }

    /// <summary>What tells two texts of the file apart, those that it includes being part of it.</summary>
    public string Fingerprint { get; init; } = "";

    /// <summary>The sensors of one site.</summary>
    /// <param name="site">The site's id.</param>
    public IEnumerable<SeriesMap> SeriesOf(string site) => Series.Where(series => series.SiteId == site);
}
