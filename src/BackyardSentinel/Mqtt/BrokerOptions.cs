using BackyardSentinel.Guards;

namespace BackyardSentinel.Mqtt;

/// <summary>Which broker to use, and as whom.</summary>
public sealed record BrokerOptions
{
    /// <summary>Host name or address; this machine unless set.</summary>
    public string Host { get; init; } = "127.0.0.1";

    /// <summary>Port; 1883 unless set, with TLS usually 8883.</summary>
    public int Port { get; init; } = 1883;

    /// <summary>User name; <c>null</c> for a broker that asks for none.</summary>
    public string? Username { get; init; }

    /// <summary>Password; fetched before use.</summary>
    public KeptValue? Password { get; init; }

    /// <summary>Use TLS.</summary>
    public bool Tls { get; init; }

    /// <summary>PEM file of the authority that signed the broker's certificate; <c>null</c> trusts what the system trusts.</summary>
    public string? CaFile { get; init; }

    /// <summary>PEM file of our own certificate, for a broker that lets in by certificate; with <see cref="KeyFile"/>.</summary>
    public string? CertificateFile { get; init; }

    /// <summary>PEM file of the private key to <see cref="CertificateFile"/>.</summary>
    public string? KeyFile { get; init; }

    /// <summary>The program starts this broker itself.</summary>
    public bool Embedded { get; init; }

    /// <summary>
    /// The embedded broker is open to the home network, and to this computer alone otherwise. Only with a login: whoever is in
    /// the network could send it weather.
    /// </summary>
    public bool EmbeddedInNetwork { get; init; }

    /// <summary>The service shows itself there as a Homie 5 device too.</summary>
    public bool Homie { get; init; } = true;

    /// <summary>
    /// Client id; stable over restarts and used by nobody else, for the broker keeps our session under it. <c>null</c>: none chosen.
    /// </summary>
    public string? ClientId { get; init; }

    /// <summary>The client id under which the program connects.</summary>
    public string Client => ClientId ?? "backyard-sentinel";

    /// <summary>First part of the topics that are published.</summary>
    public string TopicRoot { get; init; } = "sentinel";

    /// <summary>How long the broker keeps our session while we are away, s; 7 days unless set.</summary>
    public uint SessionExpirySeconds { get; init; } = 7 * 86_400;

    /// <summary>How long the broker waits before it publishes the last will, s; 30 unless set.</summary>
    public uint WillDelaySeconds { get; init; } = 30;

    /// <summary>
    /// The largest message that the broker may send, bytes; 256 KiB unless set. It drops larger ones without a word to us.
    /// </summary>
    public uint MaximumPacketBytes { get; init; } = 256 * 1024;

    /// <summary>The topic of birth and last will.</summary>
    public string StateTopic => TopicRoot + "/state";

    /// <summary>Topic of how the copy in InfluxDB stands.</summary>
    public string InfluxTopic => TopicRoot + "/influx";
}
