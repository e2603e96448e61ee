using MQTTnet;

namespace BackyardSentinel.Mqtt;

/// <summary>One plain sentence, with what to do, for each way in which a broker can say no.</summary>
internal static class BrokerSentences
{
    public static string ForConnect(MqttClientConnectResultCode code, BrokerOptions broker) => code switch
    {
        MqttClientConnectResultCode.UnsupportedProtocolVersion =>
            "The broker does not speak MQTT 5. Update it or name another one.",
        MqttClientConnectResultCode.ClientIdentifierNotValid =>
            $"The broker does not take the client id {broker.ClientId}. Choose another one: letters, digits and hyphens, at most 23.",
        MqttClientConnectResultCode.BadUserNameOrPassword =>
            "The broker says that user name or password is wrong. Check both in the garden file.",
        MqttClientConnectResultCode.NotAuthorized =>
            "The broker does not let this user in. Check user name, password and the broker's access list.",
        MqttClientConnectResultCode.ServerUnavailable =>
            "The broker is there but not ready. It will be tried again.",
        MqttClientConnectResultCode.ServerBusy =>
            "The broker is too busy. It will be tried again.",
        MqttClientConnectResultCode.Banned =>
            "The broker has banned this client. Ask whoever runs it.",
        MqttClientConnectResultCode.BadAuthenticationMethod =>
            "The broker wants a way of signing in that is not supported; a user name with password or none is.",
        MqttClientConnectResultCode.TopicNameInvalid =>
            $"The broker does not take the topic {broker.StateTopic}. Choose another base topic.",
        MqttClientConnectResultCode.PacketTooLarge =>
            "The broker finds the greeting too large. Raise its packet limit.",
        MqttClientConnectResultCode.QuotaExceeded =>
            "The broker says that a quota is used up. Look at its limits on connections and sessions.",
        MqttClientConnectResultCode.RetainNotSupported =>
            "The broker keeps no retained messages, which the last will needs. Turn them on or name another broker.",
        MqttClientConnectResultCode.QoSNotSupported =>
            "The broker does not support QoS 1, so nothing could be acknowledged. Name another broker.",
        MqttClientConnectResultCode.UseAnotherServer or MqttClientConnectResultCode.ServerMoved =>
            "The broker says that another one must be used. Change host and port in the garden file.",
        MqttClientConnectResultCode.ConnectionRateExceeded =>
            "The broker says that connections come too often. It will be tried again more slowly.",
        MqttClientConnectResultCode.PayloadFormatInvalid or MqttClientConnectResultCode.MalformedPacket or MqttClientConnectResultCode.ProtocolError =>
            "The broker did not understand the greeting. It may not be an MQTT 5 broker.",
        _ => $"The broker refused the connection ({code}). Its log may say why.",
    };

    public static string ForSubscription(MqttClientSubscribeResultCode code, string topic) => code switch
    {
        MqttClientSubscribeResultCode.NotAuthorized =>
            $"The broker does not let this user read {topic}. Its sensor stays silent until the broker's access list allows it.",
        MqttClientSubscribeResultCode.TopicFilterInvalid => $"The broker does not take {topic} as a topic. Check it in the garden file.",
        MqttClientSubscribeResultCode.QuotaExceeded => $"The broker allows no more subscriptions, so {topic} is not read.",
        MqttClientSubscribeResultCode.GrantedQoS0 =>
            $"The broker grants {topic} without acknowledgement only: what is sent while the link is down is lost.",
        _ => $"The broker refused {topic} ({code}).",
    };

    public static string ForLoss(MqttClientDisconnectReason reason, BrokerOptions broker) => reason switch
    {
        MqttClientDisconnectReason.SessionTakenOver =>
            $"Another client has connected as {broker.ClientId}: another copy seems to be running. Stop it or change the client id.",
        MqttClientDisconnectReason.ServerShuttingDown => "The broker is shutting down.",
        MqttClientDisconnectReason.KeepAliveTimeout => "The broker heard nothing from us for too long.",
        MqttClientDisconnectReason.PacketTooLarge => "A message was too large for the link.",
        MqttClientDisconnectReason.QuotaExceeded or MqttClientDisconnectReason.MessageRateTooHigh => "The broker says that we send too much.",
        MqttClientDisconnectReason.NotAuthorized => "The broker has taken this user's permission away.",
        _ => "The connection to the broker is gone.",
    };
}
