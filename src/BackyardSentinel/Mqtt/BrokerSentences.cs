using System.Net.Sockets;
using System.Security.Authentication;
using BackyardSentinel.Wording;
using MQTTnet;
using MQTTnet.Exceptions;

namespace BackyardSentinel.Mqtt;

/// <summary>One plain sentence, with what to do, for each way in which a broker can say no.</summary>
internal static class BrokerSentences
{
    /// <summary>Return code 1 of MQTT 3.1.1 (3.2.2.3), which a broker gives that knows no later version; MQTT 5 has no such code.</summary>
    private const MqttClientConnectResultCode WrongVersion = (MqttClientConnectResultCode)1;

    private static readonly string[] NoTlsSigns = ["frame", "wrong version number", "packet length"];

    public static Sentence ForConnect(MqttClientConnectResultCode code, BrokerOptions broker) =>
        code switch
        {
            MqttClientConnectResultCode.UnsupportedProtocolVersion or WrongVersion =>
                (Sentence)$"The broker does not speak MQTT 5. Update it or name another one.",
            MqttClientConnectResultCode.ClientIdentifierNotValid =>
                $"The broker does not take the client id {new Name(broker.Client)}. Choose another one: letters, digits and hyphens, at "
                    + $"most 23.",
            MqttClientConnectResultCode.BadUserNameOrPassword =>
                $"The broker says that user name or password is wrong. Check both in the garden file.",
            MqttClientConnectResultCode.NotAuthorized =>
                $"The broker does not let this user in. Check user name, password and the broker's access list.",
            MqttClientConnectResultCode.ServerUnavailable => $"The broker is there but not ready. It will be tried again.",
            MqttClientConnectResultCode.ServerBusy => $"The broker is too busy. It will be tried again.",
            MqttClientConnectResultCode.Banned => $"The broker has banned this client. Ask whoever runs it.",
            MqttClientConnectResultCode.BadAuthenticationMethod =>
                $"The broker wants a way of signing in that is not supported; a user name with password or none is.",
            MqttClientConnectResultCode.TopicNameInvalid =>
                $"The broker does not take the topic {new Name(broker.StateTopic)}. Choose another base topic.",
            MqttClientConnectResultCode.PacketTooLarge => $"The broker finds the greeting too large. Raise its packet limit.",
            MqttClientConnectResultCode.QuotaExceeded =>
                $"The broker says that a quota is used up. Look at its limits on connections and sessions.",
            MqttClientConnectResultCode.RetainNotSupported =>
                $"The broker keeps no retained messages, which the last will needs. Turn them on or name another broker.",
            MqttClientConnectResultCode.QoSNotSupported =>
                $"The broker does not support QoS 1, so nothing could be acknowledged. Name another broker.",
            MqttClientConnectResultCode.UseAnotherServer or MqttClientConnectResultCode.ServerMoved =>
                $"The broker says that another one must be used. Change host and port in the garden file.",
            MqttClientConnectResultCode.ConnectionRateExceeded =>
                $"The broker says that connections come too often. It will be tried again more slowly.",
            MqttClientConnectResultCode.PayloadFormatInvalid
            or MqttClientConnectResultCode.MalformedPacket
            or MqttClientConnectResultCode.ProtocolError => $"The broker did not understand the greeting. It may not be an MQTT 5 broker.",
            _ => $"The broker refused the connection ({new English(code.ToString())}). Its log may say why.",
        };

    /// <summary>The connection did not come about, or broke before the broker had taken us in.</summary>
    public static Sentence ForFailure(Exception failure, BrokerOptions broker, BrokerCertificate certificate)
    {
        var where = Where(broker);
        if (certificate.Fault is { } fault) return Ended($"The certificate of the broker at {where} is not trusted: {fault}");
        if (certificate.IsTaken && !Causes(failure).Any(cause => cause is MqttProtocolViolationException))
            return ForBreakOff(where, broker);
        foreach (var inner in Causes(failure))
        {
            switch (inner)
            {
                case SocketException socket:
                    return socket.SocketErrorCode switch
                    {
                        SocketError.ConnectionRefused =>
                            (Sentence)($"The computer {new Name(broker.Host)} refuses the connection to port {broker.Port}. "
                                + $"Is the broker running, and is the port right?"),
                        SocketError.HostNotFound or SocketError.NoData or SocketError.TryAgain =>
                            $"The broker's name {new Name(broker.Host)} cannot be looked up. Is it spelt right, and is this computer on "
                                + $"the network?",
                        SocketError.ConnectionReset when broker.Tls => NoTls(where),
                        SocketError.ConnectionReset or SocketError.ConnectionAborted or SocketError.Shutdown or SocketError.NotConnected =>
                            NoAnswer(where, broker),
                        _ => $"The broker at {where} cannot be reached over the network "
                            + $"({new English(socket.SocketErrorCode.ToString())}).",
                    };
                case AuthenticationException when broker.Tls && IsNoTls(inner):
                case IOException when broker.Tls:
                    return NoTls(where);
                case AuthenticationException:
                    return Ended(
                        $"No encrypted connection could be agreed on with the broker at {where}: "
                            + $"{new English(failure.GetBaseException().Message.TrimEnd('.'))}");
                case MqttProtocolViolationException:
                    return WithOtherTls($"What listens at {where} does not speak MQTT. Check host and port in the garden file.", broker);
                case MqttCommunicationException when inner.InnerException is null:
                    return NoAnswer(where, broker);
            }
        }

        return Ended(
            $"The broker at {where} cannot be reached: {new English(failure.GetBaseException().Message.TrimEnd('.'))}");
    }

    /// <summary>
    /// It does not take a message of ours. What we publish lies below one topic, and a broker that refuses one mostly refuses all.
    /// </summary>
    public static Sentence ForPublish(MqttClientPublishReasonCode code, string topic, string root) =>
        code == MqttClientPublishReasonCode.NotAuthorized
            ? root.StartsWith("homie/", StringComparison.Ordinal)
                ? (Sentence)($"The broker does not let this user publish {new Name(topic)}. Let it write {new Name(root + "/#")} in the "
                    + $"broker's access list, or set homie: false in the garden file.")
                : $"The broker does not let this user publish {new Name(topic)}. Let it write {new Name(root + "/#")} in the "
                    + $"broker's access list."
            : $"The broker does not let us publish {new Name(topic)} ({new English(code.ToString())}).";

    /// <summary>It took the connection, or a message, and then said nothing.</summary>
    public static Sentence ForSilence(Sentence step, TimeSpan limit, BrokerOptions broker) =>
        $"The broker at {Where(broker)} says nothing: {step} had no answer within {limit.TotalSeconds} s. "
            + $"If that stays so, restart the broker, or whatever stands between it and this computer.";

    /// <summary>
    /// The broker's certificate was good, and before a word of MQTT the connection broke. With TLS 1.3 a broker looks at our certificate
    /// only then (RFC 8446, 4.4.2), and its alert is mostly lost in the break.
    /// </summary>
    private static Sentence ForBreakOff(Name where, BrokerOptions broker) => broker.CertificateFile is { } own
        ? (Sentence)($"The broker at {where} takes up the encrypted connection and breaks it off at once. "
            + $"It does not take our certificate in {new Name(own)}, it seems: that must be signed by the authority that the broker knows "
            + $"(cafile in mosquitto's settings), be in time, and not be revoked.")
        : $"The broker at {where} takes up the encrypted connection and breaks it off at once. "
            + $"Most often it lets in only clients that show a certificate of their own: name ours by certificate_file and key_file.";

    private static IEnumerable<Exception> Causes(Exception failure)
    {
        for (var cause = failure; cause is not null; cause = cause.InnerException)
            yield return cause;
    }

    /// <summary>Which of its spellings the system gives for it goes by how far we came before the other end closed.</summary>
    private static Sentence NoAnswer(Name where, BrokerOptions broker) => WithOtherTls(
        $"The broker at {where} closed the connection without an answer that makes sense. Is it an MQTT broker, and is the port right?",
        broker);

    private static Sentence NoTls(Name where) =>
        $"What listens at {where} does not speak TLS. Name the broker's port for TLS, usually 8883, or set tls: false.";

    private static Sentence WithOtherTls(Sentence fault, BrokerOptions broker) =>
        broker.Tls ? fault : $"{fault} If that port is one for TLS, set tls: true.";

    private static Name Where(BrokerOptions broker) => new(FormattableString.Invariant($"{broker.Host}:{broker.Port}"));

    /// <summary>The runtime and its TLS library say in words only that what came was no TLS.</summary>
    private static bool IsNoTls(Exception failure) =>
        NoTlsSigns.Any(sign => failure.ToString().Contains(sign, StringComparison.OrdinalIgnoreCase));

    private static Sentence Ended(Sentence words) => words.Ended();

    public static Sentence ForSubscription(MqttClientSubscribeResultCode code, string topic) => code switch
    {
        MqttClientSubscribeResultCode.NotAuthorized =>
            (Sentence)($"The broker does not let this user read {new Name(topic)}. What is sent there is missed until the broker's access "
                + $"list allows it."),
        MqttClientSubscribeResultCode.TopicFilterInvalid => $"The broker does not take {new Name(topic)} as a topic. Check it in the "
            + $"garden file.",
        MqttClientSubscribeResultCode.QuotaExceeded => $"The broker allows no more subscriptions, so {new Name(topic)} is not read.",
        MqttClientSubscribeResultCode.GrantedQoS0 =>
            $"The broker grants {new Name(topic)} without acknowledgement only: what is sent while the link is down is lost.",
        _ => $"The broker refused {new Name(topic)} ({new English(code.ToString())}).",
    };

    /// <summary>A connection that stood is gone.</summary>
    /// <param name="reason">What the broker said; many only close, which shows as a normal end.</param>
    /// <param name="broker">The broker.</param>
    /// <param name="closedAgain">It has only closed several connections in a row.</param>
    public static Sentence ForLoss(MqttClientDisconnectReason reason, BrokerOptions broker, bool closedAgain = false) =>
        reason switch
        {
            MqttClientDisconnectReason.SessionTakenOver =>
                (Sentence)($"Another client has connected as {new Name(broker.Client)}: another copy seems to be running. Stop it or "
                    + $"change the client id."),
            MqttClientDisconnectReason.NormalDisconnection when closedAgain =>
                $"The broker at {Where(broker)} takes us in and soon closes the connection without a word, again and again. "
                    + $"Most often another client then uses the client id {new Name(broker.Client)} too, such as a second copy of this "
                    + $"program: "
                    + $"stop it, or give one of them another client_id.",
            MqttClientDisconnectReason.ServerShuttingDown => $"The broker is shutting down.",
            MqttClientDisconnectReason.KeepAliveTimeout => $"The broker heard nothing from us for too long.",
            MqttClientDisconnectReason.PacketTooLarge => $"A message was too large for the link.",
            MqttClientDisconnectReason.QuotaExceeded or MqttClientDisconnectReason.MessageRateTooHigh =>
                $"The broker says that we send too much.",
            MqttClientDisconnectReason.NotAuthorized => $"The broker has taken this user's permission away.",
            _ => $"The connection to the broker is gone.",
        };
}
