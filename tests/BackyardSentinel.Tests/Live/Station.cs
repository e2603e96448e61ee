using BackyardSentinel.Sensors;

namespace BackyardSentinel.Live;

/// <summary>A yard with one old peach, and what its station sends: on topics of their own, or in one message with its time.</summary>
internal static class Station
{
    public static Site Yard { get; } = new() { Id = "yard", Plantings = [new Planting("old-peach")] };

    /// <summary>Temperature, humidity and rain, each on a topic of one letter.</summary>
    public static SeriesMap[] OneTopicEach { get; } =
    [
        new() { SiteId = Yard.Id, Quantity = Quantity.Temperature, Topic = "t" },
        new() { SiteId = Yard.Id, Quantity = Quantity.Humidity, Topic = "h" },
        new() { SiteId = Yard.Id, Quantity = Quantity.Rain, Topic = "r" },
    ];

    /// <summary>Temperature, humidity and rain in one message that carries its own time.</summary>
    public static SeriesMap[] OneMessage { get; } =
    [
        .. new[] { Quantity.Temperature, Quantity.Humidity, Quantity.Rain }.Select(quantity => new SeriesMap
        {
            SiteId = Yard.Id,
            Quantity = quantity,
            Topic = "station",
            Path = quantity.ToString(),
            TimePath = "at",
        }),
    ];
}
