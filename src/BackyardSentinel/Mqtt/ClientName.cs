using System.Security.Cryptography;
using System.Text;
using BackyardSentinel.Guards;

namespace BackyardSentinel.Mqtt;

/// <summary>
/// The client id where the garden file gives none. Brokers throw the older of two clients of one name out and hand its
/// waiting messages to the newer, so two services must not share one by default.
/// </summary>
public static class ClientName
{
    // The machine's own id is not to be shown (machine-id(5)), so only a keyed hash of it goes out.
    private static readonly byte[] Purpose = "backyard-sentinel client id"u8.ToArray();

    /// <summary>
    /// <c>sentinel-</c> and eight digits: the same at every start, another on every other computer and for every other
    /// store. With <c>-homie</c> after it, it keeps to the 23 characters that every broker takes (MQTT 5, 3.1.3.1).
    /// </summary>
    /// <param name="storePath">The store's file.</param>
    public static string Of(string storePath) => Of(Machine(), storePath);

    /// <summary>The same for a named machine.</summary>
    /// <param name="machine">What tells the machine from others.</param>
    /// <param name="storePath">The store's file.</param>
    public static string Of(string machine, string storePath) =>
        "sentinel-"
        + Convert.ToHexStringLower(HMACSHA256.HashData(Purpose, Encoding.UTF8.GetBytes($"{machine}\n{Path.GetFullPath(storePath)}")))[..8];

    private static string Machine() =>
        OrdinaryFile.TryRead("/etc/machine-id", 256, out var id, out _) ? Encoding.UTF8.GetString(id!).Trim() : Environment.MachineName;
}
