using BackyardSentinel.Configuration;
using BackyardSentinel.Configuration.Yaml;

namespace BackyardSentinel.Commands.Examine;

/// <summary>What checks look at.</summary>
/// <param name="Path">The garden file's path.</param>
/// <param name="Garden">The garden file.</param>
/// <param name="Problems">What <c>check</c> finds in it as it lies there now, which may not be what runs.</param>
/// <param name="Store">What the store holds.</param>
/// <param name="Broker">What the broker showed.</param>
/// <param name="Now">The time now.</param>
internal sealed record Scene(
    string Path, GardenFile Garden, IReadOnlyList<Problem> Problems, StoreLook Store, BrokerLook Broker, DateTimeOffset Now)
{
    /// <summary>When a series was last heard of, as far as the store's last days know.</summary>
    public DateTimeOffset? LastOf(string series) =>
        Store.Recent.TryGetValue(series, out var readings) ? DateTimeOffset.FromUnixTimeMilliseconds(readings[^1].TimeMs) : null;
}
