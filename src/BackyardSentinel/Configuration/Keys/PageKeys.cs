using static BackyardSentinel.Configuration.Keys.Forms;

namespace BackyardSentinel.Configuration.Keys;

/// <summary>The keys of the page.</summary>
public static class PageKeys
{
    /// <summary>Keys under <c>page</c>.</summary>
    public static GardenSection Page { get; } = new("page", $"'page'", [
        new(
            "listen",
            Text(45, $"an IP address of this computer, or 0.0.0.0 for all of them", "^[0-9A-Fa-f:.]+$"),
            "The address it listens on. 127.0.0.1 is this computer alone; 0.0.0.0 is the whole home network, with a key to come in.",
            "127.0.0.1"),
        new("port", Whole(1, 65535), "The TCP port it listens on.", "5480"),
        new(
            "address",
            Text(200, $"an address such as http://garden.local:5480", "^https?://[^/?#@]+/?$"),
            "The address that phones know it by, for the links in messages, also that of a web server before it; with one that is "
                + "not this computer's own a key is asked for, whatever it listens on. Left out: the port on this computer's own address."),
    ]);
}
