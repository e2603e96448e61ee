using System.Security.Cryptography.X509Certificates;
using BackyardSentinel.Contract;
using MQTTnet;
using MQTTnet.Formatter;

namespace BackyardSentinel.Mqtt;

/// <summary>What is said to the broker on connecting: the session's terms, and the last will.</summary>
public static class LinkGreeting
{
    /// <summary>
    /// How many messages the broker may send without an acknowledgement; <see cref="InFlight"/> bounds their bytes. What is beyond it
    /// waits in the broker's queue, and the usual one gives up what is beyond 1,000 there: so it is wide enough for a burst while
    /// the disk or the processor is busy, and well below the deliveries that the store remembers.
    /// </summary>
    private const ushort ReceiveMaximum = 4096;

    /// <summary>The terms of the service's own session.</summary>
    /// <param name="broker">The broker.</param>
    /// <param name="presence">What is left behind when the link breaks.</param>
    /// <param name="certificate">Judges the broker's certificate.</param>
    internal static MqttClientOptions Options(BrokerOptions broker, LinkPresence presence, BrokerCertificate certificate)
    {
        return Caller(broker, certificate)
            .WithClientId(broker.Client)
            // A session begun with a clean start does not outlive a restart of the usual broker, whatever its expiry says.
            .WithCleanStart(false)
            .WithSessionExpiryInterval(broker.SessionExpirySeconds)
            .WithReceiveMaximum(ReceiveMaximum)
            .WithMaximumPacketSize(broker.MaximumPacketBytes)
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
    /// <param name="certificate">Judges the broker's certificate.</param>
    internal static MqttClientOptions Visit(BrokerOptions broker, string clientId, BrokerCertificate certificate) =>
        Caller(broker, certificate)
            .WithClientId(clientId)
            .WithCleanStart()
            .WithSessionExpiryInterval(0)
            .WithMaximumPacketSize(broker.MaximumPacketBytes)
            .Build();

    private static MqttClientOptionsBuilder Caller(BrokerOptions broker, BrokerCertificate certificate)
    {
        var options = new MqttClientOptionsBuilder()
            .WithProtocolVersion(MqttProtocolVersion.V500)
            .WithTcpServer(broker.Host, broker.Port)
            // The library's 8 kB hold up a broker that has much to send: a message of 256 kB took a tenth of a second.
            .WithTcpServer(tcp => tcp.BufferSize = 1 << 18)
            .WithTimeout(TimeSpan.FromSeconds(10));
        if (broker.Username is not null) options.WithCredentials(broker.Username, broker.Password?.Plain ?? "");
        if (broker.Tls)
        {
            var authorities = broker.CaFile is { } file ? CaFile.Authorities(file) : [];
            options.WithTlsOptions(tls =>
            {
                tls.UseTls();
                tls.WithTargetHost(broker.Host);
                tls.WithCertificateValidationHandler(certificate.IsGood);
                // A home's authority keeps no list of what it revoked, and a list that cannot be had would keep every broker out.
                tls.WithRevocationMode(X509RevocationMode.NoCheck);
                if (authorities.Count > 0) tls.WithTrustChain(authorities);
                if (OwnCertificate.Of(broker) is { } own) tls.WithClientCertificates(new X509Certificate2Collection(own));
            });
        }

        return options;
    }

    /// <summary>The service's own presence, on its state topic.</summary>
    /// <param name="broker">The broker.</param>
    public static LinkPresence Presence(BrokerOptions broker) => new(
        broker.StateTopic,
        now => TopicJson.State(ServiceState.Watching, now),
        now => TopicJson.State(ServiceState.Stopped, now),
        TopicJson.State(ServiceState.Lost, null));
}
