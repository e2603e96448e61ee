using System.Net;
using System.Net.NetworkInformation;
using System.Net.Sockets;
using BackyardSentinel.Configuration;

namespace BackyardSentinel.Web.Access;

/// <summary>
/// The names by which the page may be called. A request by any other name is one that a stranger's page had sent here by a name
/// of its own (DNS rebinding), and is refused.
/// </summary>
public sealed class HostNames
{
    private readonly HashSet<string> _names = new(StringComparer.OrdinalIgnoreCase) { "localhost", "127.0.0.1", "[::1]" };
    private readonly PageSettings _settings;

    /// <summary>The names of a page.</summary>
    /// <param name="settings">Where it is served.</param>
    public HostNames(PageSettings settings)
    {
        _settings = settings;
        if (settings.Address is { } address)
            _names.Add(address.Host);
        if (!IsAny(settings.Listen))
            _names.Add(Written(settings.Listen));
        if (settings.IsLocal)
            return;
        _names.Add(Environment.MachineName);
        _names.Add(Environment.MachineName + ".local");
    }

    /// <summary>The page is meant by this name.</summary>
    /// <param name="host">The name.</param>
    public bool Has(HostString host) => host.HasValue
        && (_names.Contains(host.Host) || (IsAny(_settings.Listen) && IPAddress.TryParse(host.Host, out var address) && IsOwn(address)));

    /// <summary>The address that is told to people.</summary>
    /// <param name="settings">The page.</param>
    /// <param name="port">The port it listens on.</param>
    public static Uri AddressOf(PageSettings settings, int port) => settings.Address ?? new Uri($"http://{NameOf(settings)}:{port}/");

    private static string NameOf(PageSettings settings) => !IsAny(settings.Listen) ? Written(settings.Listen)
        : Own().FirstOrDefault() is { } first ? Written(first)
        : Environment.MachineName;

    private static bool IsAny(IPAddress address) => address.Equals(IPAddress.Any) || address.Equals(IPAddress.IPv6Any);

    // Asked each time: a home computer gets new addresses while it runs.
    private static bool IsOwn(IPAddress address) => Own().Contains(address);

    private static IEnumerable<IPAddress> Own()
    {
        try
        {
            return
            [
                .. NetworkInterface
                    .GetAllNetworkInterfaces()
                    .Where(
                        one => one.OperationalStatus == OperationalStatus.Up && one.NetworkInterfaceType != NetworkInterfaceType.Loopback)
                    .SelectMany(one => one.GetIPProperties().UnicastAddresses)
                    .Select(one => one.Address)
                    .OrderBy(one => one.AddressFamily != AddressFamily.InterNetwork),
            ];
        }
        catch (NetworkInformationException)
        {
            return [];
        }
    }

    private static string Written(IPAddress address) => address.AddressFamily == AddressFamily.InterNetworkV6
        ? $"[{address}]"
        : address.ToString();
}
