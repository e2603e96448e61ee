using BackyardSentinel.Configuration;
using BackyardSentinel.Garden;
using BackyardSentinel.Mqtt;
using BackyardSentinel.Sensors;
using BackyardSentinel.Spraying;
using BackyardSentinel.Units;

namespace BackyardSentinel.Demo;

/// <summary>The demo's invented garden: one sensor hub, one old peach.</summary>
public static class DemoGarden
{
    /// <summary>The topic the hub publishes to.</summary>
    public const string HubTopic = "demo/hub";

    /// <summary>The garden as a garden file would describe it.</summary>
    /// <param name="port">Port of the embedded broker.</param>
    /// <param name="storePath">The store's file.</param>
    public static GardenFile Create(int port, string storePath) => new()
    {
        Name = "Demo garden",
        Broker = new BrokerOptions { Port = port },
        Store = new StoreSettings { Path = storePath },
        Page = new PageSettings { ElseAnyPort = true },
        Sites =
        [
            new Site
            {
                Id = Site,
                LatitudeDeg = 46.4,
                LongitudeDeg = 14.1,
                Plantings = [new Planting(Tree) { Follows = StageNeeds.Default, CanopyAreaM2 = 12, SprayVolumeL = 4 }],
                Products = [Copper],
            },
        ],
        Products = [Copper],
        Series =
        [
            Series(Quantity.Temperature, "air.temp", Unit.Celsius),
            Series(Quantity.Humidity, "air.hum", Unit.Percent),
            Series(Quantity.LeafWetness, "leaf", Unit.Percent),
            Series(Quantity.Rain, "rain", Unit.Millimetre),
        ],
    };

    /// <summary>What the invented grower did and saw.</summary>
    public static IReadOnlyList<JournalEntry> Journal { get; } =
    [
        new SprayEntry(0, Site, Tree, new DateOnly(2027, 2, 8), "copper", 4, At: new TimeOnly(14, 0)),
        new StageEntry(0, Site, Tree, new DateOnly(2027, 2, 1), 0),
        new StageEntry(0, Site, Tree, new DateOnly(2027, 2, 8), 0),
        new StageEntry(0, Site, Tree, new DateOnly(2027, 2, 12), 0),
        new StageEntry(0, Site, Tree, new DateOnly(2027, 2, 22), 1),
        new StageEntry(0, Site, Tree, new DateOnly(2027, 3, 6), 9),
        new ScoutEntry(0, Site, Tree, new DateOnly(2027, 3, 27), 20, 3, SymptomStage.Puckered),
        new PickEntry(0, Site, Tree, new DateOnly(2027, 3, 29)),
        new StageEntry(0, Site, Tree, new DateOnly(2027, 4, 8), 65),
        new StageEntry(0, Site, Tree, new DateOnly(2027, 4, 18), 69),
    ];

    private const string Site = "low-terrace";
    private const string Tree = "old-peach";

    private static SprayProduct Copper { get; } =
        SprayTemplates.All.Single(template => template.Id == "fixed-copper") with { Id = "copper", Name = "copper" };

    private static SeriesMap Series(Quantity quantity, string path, Unit unit) =>
        new() { SiteId = Site, Quantity = quantity, Topic = HubTopic, Path = path, TimePath = "time", Unit = unit };
}
