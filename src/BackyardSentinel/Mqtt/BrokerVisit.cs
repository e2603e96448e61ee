using System.Buffers;
using MQTTnet;
using MQTTnet.Protocol;

namespace BackyardSentinel.Mqtt;

/// <summary>A short visit to the broker by a command, beside the service that may run: publishes and leaves.</summary>
/// <param name="broker">Which broker, and as whom.</param>
public sealed class BrokerVisit(BrokerOptions broker)
{
    private static readonly TimeSpan Longest = TimeSpan.FromSeconds(30);

    /// <summary>Connects, publishes one message that is not retained, and leaves.</summary>
    /// <param name="topic">The topic.</param>
    /// <param name="payload">The payload.</param>
    /// <param name="ct">Gives up.</param>
    /// <exception cref="LinkException">The broker cannot be reached or does not take it; the message says why.</exception>
    public async Task PublishAsync(string topic, ReadOnlyMemory<byte> payload, CancellationToken ct)
    {
        using var client = new MqttClientFactory().CreateMqttClient();
        var certificate = new BrokerCertificate(broker);
        using var limit = new CancellationTokenSource(Longest);
        using var either = CancellationTokenSource.CreateLinkedTokenSource(ct, limit.Token);
        try
        {
            // Another name than the service's, or the broker would throw the service out.
            var answer = await client
                .ConnectAsync(LinkGreeting.Visit(broker, broker.Client + "-visit", certificate), either.Token)
                .ConfigureAwait(false);
            if (answer.ResultCode != MqttClientConnectResultCode.Success)
                throw new LinkException(BrokerSentences.ForConnect(answer.ResultCode, broker));
            var message = new MqttApplicationMessageBuilder()
                .WithTopic(topic)
                .WithPayload(new ReadOnlySequence<byte>(payload))
                .WithQualityOfServiceLevel(MqttQualityOfServiceLevel.AtLeastOnce)
                .Build();
            var taken = await client.PublishAsync(message, either.Token).ConfigureAwait(false);
            if (!taken.IsSuccess)
                throw new LinkException(BrokerSentences.ForPublish(taken.ReasonCode, topic, broker.TopicRoot));
            await client.DisconnectAsync(new MqttClientDisconnectOptionsBuilder().Build(), either.Token).ConfigureAwait(false);
        }
        catch (Exception failure) when (failure is not LinkException && !ct.IsCancellationRequested)
        {
            throw new LinkException(
                limit.IsCancellationRequested
                    ? BrokerSentences.ForSilence("a short visit", Longest, broker)
                    : BrokerSentences.ForFailure(failure, broker, certificate),
                inner: failure);
        }
    }
}
