namespace BackyardSentinel.Configuration;

/// <summary>The MQTT broker the sensors publish to.</summary>
public sealed record BrokerSettings
{
    /// <summary>Host name or address.</summary>
    public string Host { get; init; } = "127.0.0.1";

    /// <summary>TCP port.</summary>
    public int Port { get; init; } = 1883;

    /// <summary>The program starts its own broker, reachable from this computer only.</summary>
    public bool Embedded { get; init; }

    /// <summary>User name for the broker, if it asks for one.</summary>
    public string? Username { get; init; }

    /// <summary>Where the password is; the garden file never holds it.</summary>
    public SecretReference? Password { get; init; }

    /// <summary>The connection is encrypted.</summary>
    public bool Tls { get; init; }

    /// <summary>PEM file of the authority that signed the broker's certificate, if the system does not know it.</summary>
    public string? CaFile { get; init; }

    /// <summary>The name under which the program connects; <c>null</c>: one that differs from computer to computer.</summary>
    public string? ClientId { get; init; }

    /// <summary>The service shows itself as a Homie 5 device too.</summary>
    public bool Homie { get; init; } = true;

    /// <summary>First part of every topic the program publishes.</summary>
    public string TopicRoot { get; init; } = "sentinel";
}
