using System.Buffers;
using BackyardSentinel.Guards;
using BackyardSentinel.Wording;
using MQTTnet;
using MQTTnet.Protocol;
using ILogger = Serilog.ILogger;

namespace BackyardSentinel.Mqtt;

/// <summary>What is said to the broker in one connection, step by step; none may take longer than its limit.</summary>
/// <param name="client">The connection.</param>
/// <param name="broker">Whom it is spoken to.</param>
/// <param name="presence">Birth, goodbye and last will.</param>
/// <param name="shelf">The retained messages that wait.</param>
/// <param name="turns">Turned with each step of the link's own task.</param>
/// <param name="said">What was said already in earlier connections, and is not said again.</param>
/// <param name="time">The clock of the limits.</param>
/// <param name="log">Where sentences go.</param>
internal sealed class BrokerTalk(
    IMqttClient client,
    BrokerOptions broker,
    LinkPresence presence,
    RetainedShelf shelf,
    TurnWatch turns,
    HashSet<string> said,
    TimeProvider time,
    ILogger log)
{
    /// <summary>The greeting. A refusal does not throw: the answer's code must be looked at.</summary>
    public Task<MqttClientConnectResult> ConnectAsync(MqttClientOptions greeting, CancellationToken ct) => WithinAsync(
        async token =>
        {
            turns.Turn(BrokerPatience.StepLimit);
            using var either = CancellationTokenSource.CreateLinkedTokenSource(ct, token);
            return await client.ConnectAsync(greeting, either.Token).ConfigureAwait(false);
        },
        $"the greeting",
        ct);

    /// <summary>Publishes a message. A refusal does not throw.</summary>
    public Task<MqttClientPublishResult> PublishAsync(MqttApplicationMessage message, CancellationToken ct) =>
        WithinAsync(token => client.PublishAsync(message, token), $"the message on {new Name(message.Topic)}", ct);

    /// <summary>Subscribes to topics; what the broker refuses of them is said once.</summary>
    /// <param name="topics">The topics.</param>
    /// <param name="retainedEachTime">Retained messages are wanted also where the session goes on.</param>
    /// <param name="ct">Gives up.</param>
    public async Task SubscribeAsync(IReadOnlyCollection<string> topics, bool retainedEachTime, CancellationToken ct)
    {
        foreach (var some in topics.Chunk(100))
        {
            turns.Turn(BrokerPatience.StepLimit);
            var options = new MqttClientSubscribeOptionsBuilder();
            foreach (var topic in some)
            {
                options.WithTopicFilter(filter =>
                    filter
                        .WithTopic(topic)
                        .WithAtLeastOnceQoS()
                        .WithRetainHandling(
                            retainedEachTime
                                ? MqttRetainHandling.SendAtSubscribe
                                : MqttRetainHandling.SendAtSubscribeIfNewSubscriptionOnly));
            }

            var answer = await WithinAsync(token => client.SubscribeAsync(options.Build(), token), $"the subscription to "
                + $"{new Name(some[0])}", ct)
                .ConfigureAwait(false);
            foreach (var item in answer.Items)
            {
                if (item.ResultCode is not (MqttClientSubscribeResultCode.GrantedQoS1 or MqttClientSubscribeResultCode.GrantedQoS2))
                    SayOnce(BrokerSentences.ForSubscription(item.ResultCode, item.TopicFilter.Topic).Text);
            }
        }
    }

    /// <summary>Sends the retained messages that wait; one that does not get out waits on.</summary>
    public async Task SendWaitingAsync(CancellationToken ct)
    {
        var waiting = shelf.TakeWaiting();
        for (var i = 0; i < waiting.Count; i++)
        {
            turns.Turn(BrokerPatience.StepLimit);
            try
            {
                var message = waiting[i];
                var answer = await PublishAsync(Retained(message), ct).ConfigureAwait(false);
                if (!answer.IsSuccess)
                    Refused(answer.ReasonCode, message.Topic);
            }
            catch
            {
                shelf.WaitAgain(waiting[i..]);
                throw;
            }
        }
    }

    /// <summary>
    /// What still waits may not use up the goodbye's time: on a busy computer a hub may miss a last value, but sees how the
    /// service ended.
    /// </summary>
    public async Task SayGoodbyeAsync()
    {
        await LastlyAsync(SendWaitingAsync).ConfigureAwait(false);
        await LastlyAsync(
                async token =>
                {
                    await SayAsync(presence.Goodbye(time.GetUtcNow()), token).ConfigureAwait(false);
                    await client.DisconnectAsync(new MqttClientDisconnectOptionsBuilder().Build(), token).ConfigureAwait(false);
                })
            .ConfigureAwait(false);
    }

    private async Task LastlyAsync(Func<CancellationToken, Task> step)
    {
        if (!client.IsConnected)
            return;
        using var patience = new CancellationTokenSource(BrokerPatience.LastStepLimit, time);
        try
        {
            await step(patience.Token).ConfigureAwait(false);
        }
#pragma warning disable CA1031 // a goodbye that fails leaves the last will to say it
        catch (Exception failure)
#pragma warning restore CA1031
        {
            log.Debug(failure, "A last word did not reach the broker.");
        }
    }

    /// <summary>Presence goes past the shelf: its order among the other messages matters.</summary>
    public async Task SayAsync(ReadOnlyMemory<byte> state, CancellationToken ct)
    {
        turns.Turn(BrokerPatience.StepLimit);
        var message = Retained(new OutgoingMessage(presence.Topic, state));
        var answer = await PublishAsync(message, ct).ConfigureAwait(false);
        if (!answer.IsSuccess)
            Refused(answer.ReasonCode, presence.Topic);
    }

    private MqttApplicationMessage Retained(OutgoingMessage message)
    {
        var built = new MqttApplicationMessageBuilder()
            .WithTopic(message.Topic)
            .WithPayload(new ReadOnlySequence<byte>(message.Payload))
            .WithQualityOfServiceLevel(presence.QualityOfService)
            .WithRetainFlag();
        if (message.ExpirySeconds > 0)
            built.WithMessageExpiryInterval(message.ExpirySeconds);
        return built.Build();
    }

    /// <summary>
    /// One step of talking to the broker, which may take only so long. Who gives up no longer waits, but does not cut short
    /// what is being written: after half a packet the broker would understand no other, the goodbye least of all.
    /// </summary>
    private async Task<T> WithinAsync<T>(Func<CancellationToken, Task<T>> step, Sentence what, CancellationToken ct)
    {
        using var limit = new CancellationTokenSource(BrokerPatience.StepLimit, time);
        using var either = CancellationTokenSource.CreateLinkedTokenSource(ct, limit.Token);
        try
        {
            // The wait ends with the limit also where the call itself does not listen to its token.
            return await step(limit.Token).WaitAsync(either.Token).ConfigureAwait(false);
        }
        catch (Exception failure) when (limit.IsCancellationRequested && !ct.IsCancellationRequested)
        {
            throw new LinkException(BrokerSentences.ForSilence(what, BrokerPatience.StepLimit, broker), inner: failure);
        }
    }

    private void Refused(MqttClientPublishReasonCode code, string topic)
    {
        var root = presence.Topic[..presence.Topic.LastIndexOf('/')];
        if (said.Add($"{root} {code}"))
            log.Warning("{Sentence}", BrokerSentences.ForPublish(code, topic, root).Text);
    }

    private void SayOnce(string sentence)
    {
        if (said.Add(sentence))
            log.Warning("{Sentence}", sentence);
    }
}
