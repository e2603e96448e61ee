using System.Net;
using System.Net.Sockets;

namespace BackyardSentinel.Guards;

/// <summary>
/// Tells addresses of the open internet from those of the machine, the home network and the provider. A request to the
/// outside must not reach the router's page because somebody else's name server said so.
/// </summary>
public static class PublicAddress
{
    /// <summary>
    /// IPv4 blocks that are not globally reachable: IANA IPv4 Special-Purpose Address Registry (RFC 6890 and later), from memory.
    /// </summary>
    private static readonly IPNetwork[] Closed4 =
    [
        IPNetwork.Parse("0.0.0.0/8"), // this network
        IPNetwork.Parse("10.0.0.0/8"), // private, RFC 1918
        IPNetwork.Parse("100.64.0.0/10"), // shared by a provider's customers, RFC 6598
        IPNetwork.Parse("127.0.0.0/8"), // loopback
        IPNetwork.Parse("168.63.129.16/32"), // a platform service that some rented machines reach, assumed of no use here
        IPNetwork.Parse("169.254.0.0/16"), // link-local, RFC 3927; rented machines find their metadata here
        IPNetwork.Parse("172.16.0.0/12"), // private, RFC 1918
        IPNetwork.Parse("192.0.0.0/24"), // protocol assignments, RFC 6890
        IPNetwork.Parse("192.0.2.0/24"), // documentation, RFC 5737
        IPNetwork.Parse("192.88.99.0/24"), // 6to4 relays, withdrawn by RFC 7526
        IPNetwork.Parse("192.168.0.0/16"), // private, RFC 1918
        IPNetwork.Parse("198.18.0.0/15"), // benchmarks, RFC 2544
        IPNetwork.Parse("198.51.100.0/24"), // documentation, RFC 5737
        IPNetwork.Parse("203.0.113.0/24"), // documentation, RFC 5737
        IPNetwork.Parse("224.0.0.0/4"), // multicast
        IPNetwork.Parse("240.0.0.0/4"), // reserved, and broadcast
    ];

    /// <summary>
    /// The only IPv6 block given out for global unicast (RFC 4291): outside it lie loopback, link-local, unique-local and multicast.
    /// </summary>
    private static readonly IPNetwork Global6 = IPNetwork.Parse("2000::/3");

    /// <summary>
    /// Blocks inside it that are not globally reachable, or hide an IPv4 address: IANA IPv6 Special-Purpose Address Registry, from
    /// memory.
    /// </summary>
    private static readonly IPNetwork[] Closed6 =
    [
        IPNetwork.Parse("2001::/23"), // protocol assignments, tunnels among them, RFC 2928
        IPNetwork.Parse("2001:db8::/32"), // documentation, RFC 3849
        IPNetwork.Parse("2002::/16"), // 6to4: an IPv4 address in disguise, RFC 3056
        IPNetwork.Parse("3fff::/20"), // documentation, RFC 9637
    ];

    /// <summary>IPv4 seen through a translator, RFC 6052: the last four bytes are the IPv4 address.</summary>
    private static readonly IPNetwork Translated = IPNetwork.Parse("64:ff9b::/96");

    /// <summary>The address belongs to the open internet.</summary>
    /// <param name="address">The address; IPv4 inside IPv6 is judged as IPv4.</param>
    public static bool IsPublic(IPAddress address)
    {
        if (address.IsIPv4MappedToIPv6) address = address.MapToIPv4();
        if (address.AddressFamily == AddressFamily.InterNetworkV6 && Translated.Contains(address))
            address = new IPAddress(address.GetAddressBytes().AsSpan(12));
        return address.AddressFamily == AddressFamily.InterNetwork
            ? !Array.Exists(Closed4, block => block.Contains(address))
            : Global6.Contains(address) && !Array.Exists(Closed6, block => block.Contains(address));
    }

    /// <summary>
    /// A handler for requests to the outside: follows no redirects, keeps no cookies, goes through no proxy (a proxy would
    /// connect for us, unseen), looks names up anew every five minutes, and judges the address at the moment of connecting,
    /// so that a name that changes its answer gains nothing.
    /// </summary>
    /// <param name="allowPrivate">Addresses of the machine and its own network are allowed too.</param>
    /// <returns>The handler. A refused address shows as an <see cref="HttpRequestException"/> around a <see
    /// cref="PrivateAddressException"/>.</returns>
    public static SocketsHttpHandler Handler(bool allowPrivate) => new()
    {
        AllowAutoRedirect = false,
        UseCookies = false,
        UseProxy = false,
        PooledConnectionLifetime = TimeSpan.FromMinutes(5),
        ConnectCallback = allowPrivate ? null : ConnectAsync,
    };

    private static async ValueTask<Stream> ConnectAsync(SocketsHttpConnectionContext context, CancellationToken ct)
    {
        var host = context.DnsEndPoint.Host;
        var open = Array.FindAll(await Dns.GetHostAddressesAsync(host, ct).ConfigureAwait(false), IsPublic);
        if (open.Length == 0)
        {
            throw new PrivateAddressException(
                $"{host} leads to an address of this machine or its own network, which is not asked unless allow_private says so");
        }

        for (var i = 0; ; i++)
        {
            var socket = new Socket(open[i].AddressFamily, SocketType.Stream, ProtocolType.Tcp) { NoDelay = true };
            try
            {
                await socket.ConnectAsync(new IPEndPoint(open[i], context.DnsEndPoint.Port), ct).ConfigureAwait(false);
                return new NetworkStream(socket, ownsSocket: true);
            }
            catch (SocketException) when (i + 1 < open.Length)
            {
                socket.Dispose(); // The name has further addresses.
            }
            catch
            {
                socket.Dispose();
                throw;
            }
        }
    }
}
