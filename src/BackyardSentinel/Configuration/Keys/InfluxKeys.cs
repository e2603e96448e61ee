using static BackyardSentinel.Configuration.Keys.Forms;

namespace BackyardSentinel.Configuration.Keys;

/// <summary>The keys of the InfluxDB server.</summary>
public static class InfluxKeys
{
    /// <summary>Keys under <c>influx</c>.</summary>
    public static GardenSection Influx { get; } = new("influx", $"'influx'", [
        new("url", Address, "The server's address, such as http://127.0.0.1:8086.") { Required = true },
        new("org", Text(128), "The organization there.") { Required = true },
        new("bucket", Text(128), "The bucket that is written to.") { Required = true },
        new("token", Elsewhere, "Where the token is kept that may write to the bucket; never the token itself.") { Required = true },
        new(
            "what",
            ListOf(Enum.GetValues<ForwardedKind>().Select(ForwardedKindWords.Word)),
            "What is written: readings that were taken, intervals of weather, the level of each planting, "
                + "infection windows. Left out: all of them."),
    ]);
}
