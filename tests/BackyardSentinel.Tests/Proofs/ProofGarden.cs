using System.Net;
using System.Net.Sockets;

namespace BackyardSentinel.Proofs;

/// <summary>Parts of the garden files of proofs and checks, to be put together.</summary>
internal static class ProofGarden
{
    /// <summary>Two series and a tree, the last part of a site's block.</summary>
    public const string SeriesAndTree =
        """
            series:
              - quantity: temperature
                topic: yard/t
              - quantity: humidity
                topic: yard/h
            plantings:
              - id: white-peach
                kind: peach
        """;

    /// <summary>The only site, with two series and a tree.</summary>
    public const string Yard = "sites:\n  - id: yard\n" + SeriesAndTree;

    /// <summary>A copper for the winter, and a tree of which is known how much it takes.</summary>
    /// <param name="more">A further key of the tree.</param>
    public static string TreeAndCopper(string more = "") =>
        $"""
            plantings:
              - id: old-peach
                kind: peach
        {more}        canopy_area: 14
                spray_volume: 7 L
        products:
          - id: winter-copper
            template: fixed-copper
            active: copper-hydroxide
            copper: 50
            dose: 5 g/L
        """;

    /// <summary>Broker and store of a service that stores each second.</summary>
    public static string BrokerAndStore(int port, string store) =>
        $"""
        broker:
          port: {port}
          topic_root: proof
        store:
          path: {store}
          commit_window: 1s
        """;

    /// <summary>A port at which nothing listens.</summary>
    public static int FreePort()
    {
        using var probe = new TcpListener(IPAddress.Loopback, 0);
        probe.Start();
        return ((IPEndPoint)probe.LocalEndpoint).Port;
    }
}
