using BackyardSentinel.Garden;

namespace BackyardSentinel.Delivery;

/// <summary>What people call the things of a garden. Messages never carry the program's inner names.</summary>
/// <param name="Planting">The name of a planting by site and id; <c>null</c>: its id is its name.</param>
/// <param name="Series">The name of a series by its name in the store; <c>null</c>: its topic and path are its name.</param>
/// <param name="Sensor">
/// The name of one of several sensors of a quantity by site, quantity and rank; <c>null</c>: it is the only one.
/// </param>
public sealed record AlertNames(
    Func<string, string, string?> Planting, Func<string, string?> Series, Func<string, Quantity, int, string?> Sensor)
{
    /// <summary>A garden that names nothing beyond ids and topics.</summary>
    public static AlertNames None { get; } = new((_, _) => null, _ => null, (_, _, _) => null);

    /// <summary>A series' topic, and after it the path, out of its name in the store, <c>SITE/QUANTITY/TOPIC#PATH</c>.</summary>
    /// <param name="series">The name in the store.</param>
    /// <param name="path">What joins topic and path.</param>
    public static string TopicOf(string series, string path = " ")
    {
        ArgumentNullException.ThrowIfNull(series);
        var parts = series.Split('/', 3);
        return (parts.Length == 3 ? parts[2] : series).Replace("#", path, StringComparison.Ordinal);
    }
}
