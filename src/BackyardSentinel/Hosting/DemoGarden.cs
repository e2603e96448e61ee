using BackyardSentinel.Configuration;
using BackyardSentinel.Weather;

namespace BackyardSentinel.Hosting;

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
        Broker = new BrokerSettings { Port = port },
        Store = new StoreSettings { Path = storePath },
        Sites =
        [
            new GardenSite
            {
                Id = "low-terrace",
                Series =
                [
                    Series(Quantity.Temperature, "air.temp", SeriesUnit.Celsius),
                    Series(Quantity.Humidity, "air.hum", SeriesUnit.Percent),
                    Series(Quantity.LeafWetness, "leaf", SeriesUnit.Percent),
                    Series(Quantity.Rain, "rain", SeriesUnit.Millimetre),
                ],
                Plantings = [new GardenPlanting("old-peach", "peach", null, null)],
            },
        ],
    };

    private static GardenSeries Series(Quantity quantity, string path, SeriesUnit unit) =>
        new() { Quantity = quantity, Topic = HubTopic, Path = path, TimePath = "time", Unit = unit };
}
