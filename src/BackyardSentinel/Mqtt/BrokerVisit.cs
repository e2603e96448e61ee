using System.Buffers;
using System.Globalization;
using BackyardSentinel.Wording;
using MQTTnet;
using MQTTnet.Protocol;

namespace BackyardSentinel.Mqtt;

/// <summary>A short visit to the broker by a command, beside the service that may run: publishes or listens, and leaves.</summary>
/// <param name="broker">Which broker, and as whom.</param>
public sealed class BrokerVisit(BrokerOptions broker)
{
    private static readonly TimeSpan Longest = TimeSpan.FromSeconds(30);

    /// <summary>When the broker's certificate, or one above it, expires, UTC; <c>null</c>: none was shown.</summary>
    public DateTimeOffset? CertificateUntil { get; private set; }

    /// <summary>Connects, publishes one message that is not retained, and leaves.</summary>
    /// <param name="topic">The topic.</param>
    /// <param name="payload">The payload.</param>
    /// <param name="ct">Gives up.</param>
    /// <exception cref="LinkException">The broker cannot be reached or does not take it; the message says why.</exception>
    public Task PublishAsync(string topic, ReadOnlyMemory<byte> payload, CancellationToken ct) =>
        VisitAsync(
            async (client, token) =>
            {
                var message = new MqttApplicationMessageBuilder()
                    .WithTopic(topic)
                    .WithPayload(new ReadOnlySequence<byte>(payload))
                    .WithQualityOfServiceLevel(MqttQualityOfServiceLevel.AtLeastOnce)
                    .Build();
                var taken = await client.PublishAsync(message, token).ConfigureAwait(false);
                if (!taken.IsSuccess)
                    throw new LinkException(BrokerSentences.ForPublish(taken.ReasonCode, topic, broker.TopicRoot));
            },
            TimeSpan.Zero,
            ct);

    /// <summary>
    /// Connects, hears what comes by topics for a time, and leaves. It has no session, so it takes nothing from the service.
    /// </summary>
    /// <param name="filters">The topics, with or without wildcards.</param>
    /// <param name="length">How long.</param>
    /// <param name="heard">Is given each message: topic, payload, whether it is the broker's kept copy, how it was sent (0, 1 or
    /// 2).</param>
    /// <param name="end">Ends it sooner.</param>
    /// <param name="ct">Gives up.</param>
    /// <returns>The topics that the broker does not let this user read, each with a sentence.</returns>
    /// <exception cref="LinkException">The broker cannot be reached; the message says why.</exception>
    public async Task<IReadOnlyList<Sentence>> HearAsync(
        IReadOnlyList<string> filters,
        TimeSpan length,
        Action<string, ReadOnlyMemory<byte>, bool, int> heard,
        CancellationToken end,
        CancellationToken ct)
    {
        List<Sentence> refused = [];
        await VisitAsync(
                async (client, token) =>
                {
                    var lost = new TaskCompletionSource<MqttClientDisconnectReason>(TaskCreationOptions.RunContinuationsAsynchronously);
                    client.DisconnectedAsync += gone =>
                    {
                        lost.TrySetResult(gone.Reason);
                        return Task.CompletedTask;
                    };
                    client.ApplicationMessageReceivedAsync += arrived =>
                    {
                        var message = arrived.ApplicationMessage;
                        heard(message.Topic, message.Payload.ToArray(), message.Retain, (int)message.QualityOfServiceLevel);
                        return Task.CompletedTask;
                    };
                    foreach (var filter in filters)
                    {
                        var answer = await client
                            .SubscribeAsync(
                                new MqttClientSubscribeOptionsBuilder()
                                    .WithTopicFilter(filter, MqttQualityOfServiceLevel.ExactlyOnce)
                                    .Build(),
                                token)
                            .ConfigureAwait(false);
                        refused.AddRange(
                            answer
                                .Items.Where(item => item.ResultCode > MqttClientSubscribeResultCode.GrantedQoS2)
                                .Select(item => BrokerSentences.ForSubscription(item.ResultCode, filter)));
                    }

                    using var either = CancellationTokenSource.CreateLinkedTokenSource(end, token);
                    var over = await Task.WhenAny(lost.Task, Task.Delay(length, TimeProvider.System, either.Token)).ConfigureAwait(false);
                    if (over == lost.Task)
                        throw new LinkException(BrokerSentences.ForLoss(await lost.Task.ConfigureAwait(false), broker));
                },
                length,
                ct)
            .ConfigureAwait(false);
        return refused;
    }

    /// <summary>
    /// Another name than that of the service or of another visit, or the broker would throw the other out; of 23 letters at most, as
    /// any broker takes them (MQTT 3.1.1, 3.1.3.1).
    /// </summary>
    private string NewName() =>
        string.Create(
            CultureInfo.InvariantCulture,
            $"{broker.Client[..Math.Min(broker.Client.Length, 12)]}-visit-{Random.Shared.Next(0x10000):x4}");

    private async Task VisitAsync(Func<IMqttClient, CancellationToken, Task> step, TimeSpan length, CancellationToken ct)
    {
        using var client = new MqttClientFactory().CreateMqttClient();
        var certificate = new BrokerCertificate(broker);
        using var limit = new CancellationTokenSource(Longest + length);
        using var either = CancellationTokenSource.CreateLinkedTokenSource(ct, limit.Token);
        try
        {
            var answer = await client.ConnectAsync(LinkGreeting.Visit(broker, NewName(), certificate), either.Token)
                .ConfigureAwait(false);
            CertificateUntil = certificate.ValidUntil;
            if (answer.ResultCode != MqttClientConnectResultCode.Success)
                throw new LinkException(BrokerSentences.ForConnect(answer.ResultCode, broker));
            await step(client, either.Token).ConfigureAwait(false);
            await client.DisconnectAsync(new MqttClientDisconnectOptionsBuilder().Build(), either.Token).ConfigureAwait(false);
        }
        catch (Exception failure) when (failure is not LinkException && !ct.IsCancellationRequested)
        {
            throw new LinkException(
                limit.IsCancellationRequested
                    ? BrokerSentences.ForSilence($"a short visit", Longest + length, broker)
                    : BrokerSentences.ForFailure(failure, broker, certificate),
                inner: failure);
        }
    }
}
