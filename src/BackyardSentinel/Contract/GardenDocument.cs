namespace BackyardSentinel.Contract;

/// <summary>GET /api/garden: how every planting stands.</summary>
/// <param name="AsOf">Now, UTC.</param>
/// <param name="Sites">The sites, in the order of the garden file.</param>
[SchemaFile("garden-now")]
public sealed record GardenDocument(DateTimeOffset AsOf, IReadOnlyList<SiteNow> Sites);

/// <summary>A site.</summary>
/// <param name="Site">The site.</param>
/// <param name="Weather">The interval that was judged last; null: none yet.</param>
/// <param name="SeriesSilent">How many of its sensors are silent.</param>
/// <param name="ValuesRefused">How many of its sensors say what cannot be used.</param>
/// <param name="Plantings">The plantings.</param>
public sealed record SiteNow(
    string Site,
    WeatherTopic? Weather,
    [Bounds(0)] int SeriesSilent,
    [Bounds(0)] int ValuesRefused,
    IReadOnlyList<PlantingNow> Plantings);

/// <summary>A planting.</summary>
/// <param name="Planting">The planting.</param>
/// <param name="Name">What people call it.</param>
/// <param name="Risk">How it is judged, as on its risk topic.</param>
public sealed record PlantingNow(string Planting, string Name, RiskTopic Risk);

/// <summary>What cannot be answered over HTTP (RFC 9457).</summary>
/// <param name="Type">Always about:blank: the status says what it is.</param>
/// <param name="Title">The status in words.</param>
/// <param name="Status">The HTTP status.</param>
/// <param name="Detail">What is wrong and what to do, a sentence or two.</param>
[SchemaFile("problem")]
public sealed record ProblemDocument(string Type, string Title, [Bounds(400, 599)] int Status, string Detail)
{
    /// <summary>A problem without a type of its own.</summary>
    /// <param name="status">The HTTP status.</param>
    /// <param name="title">The status in words.</param>
    /// <param name="detail">What is wrong and what to do.</param>
    public static ProblemDocument Of(int status, string title, string detail) => new("about:blank", title, status, detail);
}
