using static BackyardSentinel.Configuration.Keys.Forms;

namespace BackyardSentinel.Configuration.Keys;

/// <summary>The keys of the broker, of the store and of the raw messages beside it.</summary>
public static class BrokerKeys
{
    /// <summary>The embedded broker is reached from this computer alone.</summary>
    public const string ThisComputer = "127.0.0.1";

    /// <summary>The embedded broker is reached from the home network.</summary>
    public const string HomeNetwork = "0.0.0.0";

    /// <summary>Keys under <c>broker</c>.</summary>
    public static GardenSection Broker { get; } = new("broker", $"'broker'", [
        new(
            "host",
            Text(255, $"a host name or an address", @"^[^\s/@]+$"),
            "Name or address of the broker, without 'mqtt://' and without the port.",
            "127.0.0.1"),
        new("port", Whole(1, 65535), "The broker's TCP port.", "1883"),
        new("embedded", YesNo, "Start a broker inside the program, for the first days.", "false"),
        new(
            "listen",
            OneOf(ThisComputer, HomeNetwork),
            "Where the embedded broker can be reached: 127.0.0.1 from this computer alone, 0.0.0.0 from the home network, which needs "
                + "'username' and 'password'.",
            ThisComputer),
        new("username", Text(256), "User name, if the broker asks for one; with 'embedded' the one that it asks for."),
        new("password", Elsewhere, "Where the password is kept; never the password itself."),
        new("tls", YesNo, "Encrypt the connection.", "false"),
        new("ca_file", FilePath, "Certificate (PEM) of the authority that signed the broker's, if the system does not know it."),
        new("certificate_file", FilePath, "Our own certificate (PEM), for a broker that lets in by certificate."),
        new("key_file", FilePath, "The private key to it (PEM, not encrypted); keep it readable for the service alone."),
        new(
            "client_id",
            Text(64, $"1 to 64 characters without spaces", @"^\S{1,64}$"),
            "The name under which the program connects; the broker keeps missed messages under it. Left out: "
                + "sentinel- and eight digits of this computer and store."),
        new(
            "topic_root",
            Text(256, $"an MQTT topic without '+' and '#', and without '/' at either end", "^[^/+#$]([^+#]*[^/+#])?$"),
            "First part of every topic the program publishes.",
            "sentinel"),
        new("homie", YesNo, "Show the service as a Homie 5 device too, so that home hubs find it by themselves.", "true"),
    ])
    {
        Rules = [new Needs("password", "username"), new Together("certificate_file", "key_file")],
    };

    /// <summary>Keys under <c>store</c>.</summary>
    public static GardenSection Store { get; } = new("store", $"'store'", [
        new(
            "path",
            FilePath,
            "The database file. A relative path starts at the folder of the garden file; below /etc, where no service may write, "
                + "at /var/lib/backyard-sentinel instead.",
            "data/sentinel.db"),
        new(
            "commit_window",
            Duration("1s", "5m"),
            "Readings are written together at least this often. Longer spares the memory card.",
            "30s"),
        new(
            "keep_years",
            Whole(3, 100),
            "Each reading is kept for so many years. Of earlier ones hourly values are kept, always; windows are not judged from those.",
            "5"),
    ]);

    /// <summary>Keys under <c>capture</c>.</summary>
    public static GardenSection Capture { get; } = new("capture", $"'capture'", [
        new(
            "folder",
            Text(1024, $"the path of a folder"),
            "Where they are kept; a relative path starts where that of the store does.") { Required = true },
        new("most_mb", Whole(1, 100_000), "The most that they may take, in MB; the oldest are removed.", "100"),
    ]);
}
