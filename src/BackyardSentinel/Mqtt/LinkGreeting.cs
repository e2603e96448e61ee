using System.Security.Cryptography.X509Certificates;
using System.Text.Json;
using MQTTnet;
using MQTTnet.Formatter;

namespace BackyardSentinel.Mqtt;

/// <summary>What is said to the broker on connecting: the session's terms, and the last will.</summary>
public static class LinkGreeting
{
    /// <summary>How many messages the broker may send without an acknowledgement; the only back-pressure there is.</summary>
    private const ushort ReceiveMaximum = 256;

    private const uint MaximumPacketBytes = 256 * 1024;

    /// <summary>The terms of the service's own session.</summary>
    /// <param name="broker">The broker.</param>
    /// <param name="presence">What is left behind when the link breaks.</param>
    public static MqttClientOptions Options(BrokerOptions broker, LinkPresence presence)
    {
        return Caller(broker)
            .WithClientId(broker.ClientId)
            // A session begun with a clean start does not outlive a restart of the usual broker, whatever its expiry says.
            .WithCleanStart(false)
            .WithSessionExpiryInterval(broker.SessionExpirySeconds)
            .WithReceiveMaximum(ReceiveMaximum)
            .WithMaximumPacketSize(MaximumPacketBytes)
            .WithKeepAlivePeriod(TimeSpan.FromSeconds(30))
            .WithWillTopic(presence.Topic)
            .WithWillPayload(presence.Will.ToArray())
            .WithWillRetain()
            .WithWillQualityOfServiceLevel(presence.QualityOfService)
            .WithWillDelayInterval(broker.WillDelaySeconds)
            .Build();
    }

    /// <summary>
    /// The terms of a short visit beside the service: a name of its own, no session and no last will, so that neither the
    /// service's messages nor its state are touched.
    /// </summary>
    /// <param name="broker">The broker.</param>
    /// <param name="clientId">The visit's own client id.</param>
    public static MqttClientOptions Visit(BrokerOptions broker, string clientId) => Caller(broker)
        .WithClientId(clientId)
        .WithCleanStart()
        .WithSessionExpiryInterval(0)
        .Build();

    private static MqttClientOptionsBuilder Caller(BrokerOptions broker)
    {
        var options = new MqttClientOptionsBuilder()
            .WithProtocolVersion(MqttProtocolVersion.V500)
            .WithTcpServer(broker.Host, broker.Port)
            .WithTimeout(TimeSpan.FromSeconds(10));
        if (broker.Username is not null) options.WithCredentials(broker.Username, broker.Password ?? "");
        if (broker.Tls)
        {
            var authorities = new X509Certificate2Collection();
            if (broker.CaFile is not null) authorities.ImportFromPemFile(broker.CaFile);
            options.WithTlsOptions(tls =>
            {
                tls.UseTls();
                tls.WithTargetHost(broker.Host);
                if (authorities.Count > 0) tls.WithTrustChain(authorities);
            });
        }

        return options;
    }

    /// <summary>The service's own presence, on its state topic.</summary>
    /// <param name="broker">The broker.</param>
    public static LinkPresence Presence(BrokerOptions broker) => new(
        broker.StateTopic, now => State("watching", now), now => State("stopped", now), State("lost", null));

    /// <summary>The payload of the state topic.</summary>
    /// <param name="state"><c>watching</c>, <c>stopped</c> or <c>lost</c>.</param>
    /// <param name="since">Since when, where it is known.</param>
    public static byte[] State(string state, DateTimeOffset? since)
    {
        using var buffer = new MemoryStream();
        using (var json = new Utf8JsonWriter(buffer))
        {
            json.WriteStartObject();
            json.WriteString("state", state);
            if (since is { } moment) json.WriteString("since", moment.UtcDateTime.ToString("yyyy-MM-dd'T'HH:mm:ss'Z'", System.Globalization.CultureInfo.InvariantCulture));
            json.WriteEndObject();
        }

        return buffer.ToArray();
    }
}
