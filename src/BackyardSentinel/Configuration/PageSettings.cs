using System.Net;

namespace BackyardSentinel.Configuration;

/// <summary>Where the page is served.</summary>
public sealed record PageSettings
{
    /// <summary>The address of this computer that it listens on.</summary>
    public IPAddress Listen { get; init; } = IPAddress.Loopback;

    /// <summary>The TCP port; 0 takes a free one.</summary>
    public int Port { get; init; } = 5480;

    /// <summary>Takes a free port where its own is taken, as a demo may; a garden's page stays where phones look for it.</summary>
    public bool ElseAnyPort { get; init; }

    /// <summary>The address by which phones reach it, for links and the code to scan; <c>null</c>: made of what is known.</summary>
    public Uri? Address { get; init; }

    /// <summary>
    /// Only this computer can reach it. One that others know by an address has a web server before it, behind which everybody seems to
    /// be this computer.
    /// </summary>
    public bool IsLocal => IPAddress.IsLoopback(Listen) && (Address is null || Address.IsLoopback);
}
