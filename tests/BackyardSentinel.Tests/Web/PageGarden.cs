using BackyardSentinel.Contract;
using BackyardSentinel.Weather;
using BackyardSentinel.Web.Sensors;
using BackyardSentinel.Web.SetUp;

namespace BackyardSentinel.Web;

/// <summary>What a <see cref="PageHouse"/> is opened over: an invented garden, what came of it so far, and the clock.</summary>
public sealed record PageGarden
{
    /// <summary>The garden file's text: two plantings by a wall, a copper and an oil.</summary>
    public string File { get; init; } = Wall;

    /// <summary>What is changed in the garden after its file was read, beyond what a file may hold; <c>null</c>: nothing.</summary>
    public Func<GardenFile, GardenFile>? Change { get; init; }

    /// <summary>Now, UTC. 08:00 of a winter's day there.</summary>
    public DateTimeOffset Now { get; init; } = new(2027, 2, 6, 7, 0, 0, TimeSpan.Zero);

    /// <summary>What the grower wrote down before.</summary>
    public IReadOnlyList<JournalEntry> Journal { get; init; } = [];

    /// <summary>Messages that came before now, with their own times.</summary>
    public IReadOnlyList<ArrivedMessage> Past { get; init; } = [];

    /// <summary>The forecast; <c>null</c>: none.</summary>
    public Forecast? Forecast { get; init; }

    /// <summary>What the phone was told, taken by a destination when it was made.</summary>
    public IReadOnlyList<AlertMessage> Told { get; init; } = [];

    /// <summary>The page is served to the home network, which asks for keys; otherwise to this computer, which asks for none.</summary>
    public bool IsOnTheLan { get; init; }

    /// <summary>Why nothing can be heard of the broker, and since when; <c>null</c>: it can.</summary>
    public LinkTrouble? LinkTrouble { get; init; }

    /// <summary>What a look at the installation finds; <c>null</c>: there is none.</summary>
    public Func<CancellationToken, Task<SetUpLook>>? Examine { get; init; }

    /// <summary>Hears the broker; <c>null</c>: there is none.</summary>
    public HearBroker? Listen { get; init; }

    /// <summary>The file of the invented garden.</summary>
    public const string Wall = """
        name: Tannery Lane
        store:
          path: sentinel.db
        page:
          port: 5480
        sites:
          - id: south-wall
            zone: Europe/Ljubljana
            latitude: 45.70
            longitude: 14.90
            climate_min: [-3, -2, 1.5, 5, 9.5, 13, 15, 14.5, 10.5, 6.5, 2, -1.5]
            climate_max: [3.5, 6.5, 11.5, 16, 21, 24.5, 27, 26.5, 21.5, 15.5, 8.5, 4]
            series:
              - quantity: temperature
                name: sensor by the wall
                topic: garden/climate
                path: air
                time: at
              - quantity: humidity
                topic: garden/climate
                path: humidity
                time: at
              - quantity: rain
                topic: garden/rain
                path: mm
                time: at
            plantings:
              - id: white-peach
                kind: peach
                variety: Cellar White
                trees: 2
                canopy_area: 14 m²
                spray_volume: 7 L
                had_curl_last_spring: true
              - id: gate-nectarine
                name: the gate
                kind: nectarine
                canopy_area: 6 m²
                spray_volume: 3 L
        products:
          - id: winter-copper
            name: The blue tub
            template: fixed-copper
            active: copper-hydroxide
            copper: 50
            dose: 5 g/L
            max_applications: 2
            reentry: 48h
          - id: winter-oil
            template: dormant-oil
        """;

    /// <summary>The same garden in German.</summary>
    public PageGarden InGerman() => this with
    {
        File = File.Replace("name: Tannery Lane", "name: Gerbergasse\nlanguage: de", StringComparison.Ordinal),
        // What was told is kept as it was told.
        Told = [.. Told.Select(one => one with { Title = "Kräuselwetter möglich", Text = "Nass seit 12 h." })],
    };

    /// <summary>The same garden in US units: the climate's figures too.</summary>
    public static string InUsUnits(string garden) =>
        "units: us\n" + garden
            .Replace(
                "climate_min: [-3, -2, 1.5, 5, 9.5, 13, 15, 14.5, 10.5, 6.5, 2, -1.5]",
                "climate_min: [27, 28, 35, 41, 49, 55, 59, 58, 51, 44, 36, 29]",
                StringComparison.Ordinal)
            .Replace(
                "climate_max: [3.5, 6.5, 11.5, 16, 21, 24.5, 27, 26.5, 21.5, 15.5, 8.5, 4]",
                "climate_max: [38, 44, 53, 61, 70, 76, 81, 80, 71, 60, 47, 39]",
                StringComparison.Ordinal);

    /// <summary>Air and rain, each ten minutes, up to a moment.</summary>
    /// <param name="until">The time of the last messages.</param>
    /// <param name="hours">For so many hours.</param>
    /// <param name="airC">Air, °C.</param>
    /// <param name="humidityPct">Humidity, %.</param>
    /// <param name="rainMm">Rain in ten minutes, mm.</param>
    public static IEnumerable<ArrivedMessage> Weather(
        DateTimeOffset until, int hours, double airC = 4, double humidityPct = 70, double rainMm = 0)
    {
        for (var at = until.AddHours(-hours); at <= until; at = at.AddMinutes(10))
        {
            yield return Message(
                "garden/climate",
                FormattableString.Invariant($"{{\"at\":{at.ToUnixTimeSeconds()},\"air\":{airC},\"humidity\":{humidityPct}}}"));
            yield return Message("garden/rain", FormattableString.Invariant($"{{\"at\":{at.ToUnixTimeSeconds()},\"mm\":{rainMm}}}"));
        }
    }

    /// <summary>A message as it comes.</summary>
    /// <param name="topic">The topic.</param>
    /// <param name="payload">The payload.</param>
    public static ArrivedMessage Message(string topic, string payload) => new(topic, Encoding.UTF8.GetBytes(payload));
}
