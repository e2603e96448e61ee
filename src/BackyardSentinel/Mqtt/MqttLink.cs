using System.Buffers;
using MQTTnet;
using MQTTnet.Protocol;
using Polly;
using Polly.Retry;
using ILogger = Serilog.ILogger;

namespace BackyardSentinel.Mqtt;

/// <summary>
/// The one link to the broker: connects, subscribes, hands messages on unacknowledged, publishes retained topics, and
/// comes back by itself after every loss. What it hands on is acknowledged by whoever has made it safe.
/// </summary>
public sealed class MqttLink
{
    /// <summary>A connection that held this long was a good one: the next loss starts from the shortest wait again.</summary>
    private static readonly TimeSpan Stable = TimeSpan.FromMinutes(1);

    private readonly BrokerOptions _broker;
    private readonly LinkPresence _presence;
    private readonly IReadOnlyCollection<string> _topics;
    private readonly TimeProvider _time;
    private readonly ILogger _log;
    private readonly RetainedShelf _shelf = new();
    private readonly InDoubt _inDoubt = new();
    private readonly LinkReceiver _receiver;
    private readonly HashSet<string> _said = new(StringComparer.Ordinal);
    private bool _wasConnected;
    private int _takeovers;
    private volatile IMqttClient? _client;

    /// <summary>Makes a link that is not yet connected.</summary>
    /// <param name="broker">Which broker, and as whom.</param>
    /// <param name="topics">Topics to subscribe to, without overlaps.</param>
    /// <param name="onMessage">Takes a message; may wait, which holds the broker back. Must be quick otherwise.</param>
    /// <param name="time">The clock of waits.</param>
    /// <param name="log">Where sentences go.</param>
    /// <param name="presence">Birth, goodbye and last will; <c>null</c> takes the service's own on the broker's state topic.</param>
    public MqttLink(
        BrokerOptions broker, IReadOnlyCollection<string> topics, Func<ArrivedMessage, CancellationToken, ValueTask> onMessage,
        TimeProvider time, ILogger log, LinkPresence? presence = null)
    {
        (_broker, _topics, _time, _log) = (broker, topics, time, log);
        _presence = presence ?? LinkGreeting.Presence(broker);
        _receiver = new LinkReceiver(_inDoubt, onMessage, log);
    }

    /// <summary>The link is up: connected and subscribed.</summary>
    public bool IsUp { get; private set; }

    /// <summary>Publishes a retained message now or as soon as the link is up; also again after each reconnection.</summary>
    /// <param name="message">The message; a newer one of the same topic replaces it.</param>
    public void Publish(OutgoingMessage message) => _shelf.Put(message);

    /// <summary>Publishes once, not retained.</summary>
    /// <param name="topic">The topic.</param>
    /// <param name="payload">The payload.</param>
    /// <param name="ct">Gives up.</param>
    /// <exception cref="LinkException">The link is down, or the broker does not take it.</exception>
    public async Task PublishOnceAsync(string topic, ReadOnlyMemory<byte> payload, CancellationToken ct)
    {
        if (!IsUp || _client is not { } client)
            throw new LinkException("The link to the broker is down.");
        var message = new MqttApplicationMessageBuilder()
            .WithTopic(topic)
            .WithPayload(new ReadOnlySequence<byte>(payload))
            .WithQualityOfServiceLevel(MqttQualityOfServiceLevel.AtLeastOnce)
            .Build();
        var answer = await client.PublishAsync(message, ct).ConfigureAwait(false);
        if (!answer.IsSuccess)
            throw new LinkException($"The broker does not let us publish {topic} ({answer.ReasonCode}).");
    }

    /// <summary>Keeps the link until cancelled, then says goodbye to the broker.</summary>
    /// <param name="ct">Ends it.</param>
    public async Task RunAsync(CancellationToken ct)
    {
        var pipeline = new ResiliencePipelineBuilder { TimeProvider = _time }
            .AddRetry(new RetryStrategyOptions
            {
                ShouldHandle = args => ValueTask.FromResult(args.Outcome.Exception is LinkException),
                MaxRetryAttempts = int.MaxValue,
                BackoffType = DelayBackoffType.Exponential,
                UseJitter = true,
                Delay = TimeSpan.FromSeconds(1),
                MaxDelay = TimeSpan.FromMinutes(2),
                DelayGenerator = args => ValueTask.FromResult(args.Outcome.Exception is LinkException { TakenOver: true } ? TakeoverDelay() : null),
                OnRetry = args =>
                {
                    _log.Warning("{Reason} Next try in {Delay:0.0} s.", args.Outcome.Exception!.Message, args.RetryDelay.TotalSeconds);
                    return ValueTask.CompletedTask;
                },
            })
            .Build();
        try
        {
            while (!ct.IsCancellationRequested)
                await pipeline.ExecuteAsync(async token => await ServeOneConnectionAsync(token).ConfigureAwait(false), ct).ConfigureAwait(false);
        }
        catch (OperationCanceledException) when (ct.IsCancellationRequested)
        {
            // The usual end.
        }
    }

    /// <summary>Returns when a stable connection was lost; throws <see cref="LinkException"/> when one failed or was short.</summary>
    private async Task ServeOneConnectionAsync(CancellationToken ct)
    {
        _inDoubt.ConnectionLost();
        using var client = new MqttClientFactory().CreateMqttClient();
        var lost = new TaskCompletionSource<MqttClientDisconnectReason>(TaskCreationOptions.RunContinuationsAsynchronously);
        client.DisconnectedAsync += args =>
        {
            IsUp = false;
            lost.TrySetResult(args.Reason);
            return Task.CompletedTask;
        };
        client.ApplicationMessageReceivedAsync += args => _receiver.ReceiveAsync(args, ct);

        var began = _time.GetTimestamp();
        try
        {
            await ConnectAsync(client, ct).ConfigureAwait(false);
            began = _time.GetTimestamp();
            await SubscribeAsync(client, ct).ConfigureAwait(false);
            await SayAsync(client, _presence.Birth(_time.GetUtcNow()), ct).ConfigureAwait(false);
            _shelf.AllWait();
            if (_presence.AllSent is { } allSent)
            {
                await SendWaitingAsync(client, ct).ConfigureAwait(false);
                await SayAsync(client, allSent, ct).ConfigureAwait(false);
            }

            (_client, IsUp) = (client, true);
            await PublishUntilLostAsync(client, lost.Task, ct).ConfigureAwait(false);
        }
        catch (OperationCanceledException) when (ct.IsCancellationRequested)
        {
            IsUp = false;
            await SayGoodbyeAsync(client).ConfigureAwait(false);
            throw;
        }
        catch (Exception failure) when (failure is not LinkException)
        {
            IsUp = false;
            throw new LinkException($"The broker at {_broker.Host}:{_broker.Port} cannot be reached: {Innermost(failure)}.", inner: failure);
        }

        IsUp = false;
        var reason = await lost.Task.ConfigureAwait(false);
        var held = _time.GetElapsedTime(began);
        if (reason == MqttClientDisconnectReason.SessionTakenOver)
            throw new LinkException(BrokerSentences.ForLoss(reason, _broker), takenOver: true);
        if (held >= Stable * 30) _takeovers = 0;
        if (held < Stable) throw new LinkException(BrokerSentences.ForLoss(reason, _broker));
        _log.Warning("{Reason} It will be tried again at once.", BrokerSentences.ForLoss(reason, _broker));
    }

    private async Task ConnectAsync(IMqttClient client, CancellationToken ct)
    {
        // A refusal does not throw: the code must be looked at.
        var answer = await client.ConnectAsync(LinkGreeting.Options(_broker, _presence), ct).ConfigureAwait(false);
        if (answer.ResultCode != MqttClientConnectResultCode.Success)
            throw new LinkException(BrokerSentences.ForConnect(answer.ResultCode, _broker));
        if (!answer.IsSessionPresent)
        {
            _inDoubt.SessionForgotten();
            if (_wasConnected && _topics.Count > 0) _log.Warning("The broker has forgotten our session: what was sent while the link was down may be missing.");
        }

        _wasConnected = true;
        _log.Information("Connected to the broker at {Host}:{Port} as {Client}.", _broker.Host, _broker.Port, _broker.ClientId);
    }

    private async Task SubscribeAsync(IMqttClient client, CancellationToken ct)
    {
        foreach (var some in _topics.Chunk(100))
        {
            var options = new MqttClientSubscribeOptionsBuilder();
            foreach (var topic in some)
            {
                options.WithTopicFilter(filter => filter
                    .WithTopic(topic)
                    .WithAtLeastOnceQoS()
                    .WithRetainHandling(MqttRetainHandling.SendAtSubscribeIfNewSubscriptionOnly));
            }

            var answer = await client.SubscribeAsync(options.Build(), ct).ConfigureAwait(false);
            foreach (var item in answer.Items)
            {
                if (item.ResultCode is not (MqttClientSubscribeResultCode.GrantedQoS1 or MqttClientSubscribeResultCode.GrantedQoS2))
                    SayOnce(BrokerSentences.ForSubscription(item.ResultCode, item.TopicFilter.Topic));
            }
        }
    }

    private async Task PublishUntilLostAsync(IMqttClient client, Task lost, CancellationToken ct)
    {
        using var ended = CancellationTokenSource.CreateLinkedTokenSource(ct);
        _ = lost.ContinueWith(_ => ended.Cancel(), CancellationToken.None, TaskContinuationOptions.ExecuteSynchronously, TaskScheduler.Default);
        try
        {
            while (!lost.IsCompleted)
            {
                await SendWaitingAsync(client, ended.Token).ConfigureAwait(false);
                await _shelf.SignalAsync(ended.Token).ConfigureAwait(false);
            }
        }
        catch (Exception) when (lost.IsCompleted && !ct.IsCancellationRequested)
        {
            // The loss itself is told by the caller.
        }
    }

    private async Task SendWaitingAsync(IMqttClient client, CancellationToken ct)
    {
        var waiting = _shelf.TakeWaiting();
        for (var i = 0; i < waiting.Count; i++)
        {
            try
            {
                var answer = await client.PublishAsync(Retained(waiting[i]), ct).ConfigureAwait(false);
                if (!answer.IsSuccess) SayOnce($"The broker does not let us publish {waiting[i].Topic} ({answer.ReasonCode}).");
            }
            catch
            {
                _shelf.WaitAgain(waiting[i..]);
                throw;
            }
        }
    }

    private async Task SayGoodbyeAsync(IMqttClient client)
    {
        if (!client.IsConnected) return;
        using var patience = new CancellationTokenSource(TimeSpan.FromSeconds(2), _time);
        try
        {
            await SendWaitingAsync(client, patience.Token).ConfigureAwait(false);
            await SayAsync(client, _presence.Goodbye(_time.GetUtcNow()), patience.Token).ConfigureAwait(false);
            await client.DisconnectAsync(new MqttClientDisconnectOptionsBuilder().Build(), patience.Token).ConfigureAwait(false);
        }
#pragma warning disable CA1031 // a goodbye that fails leaves the last will to say it
        catch (Exception failure)
#pragma warning restore CA1031
        {
            _log.Debug(failure, "The goodbye did not reach the broker.");
        }
    }

    /// <summary>Presence goes past the shelf: its order among the other messages matters.</summary>
    private async Task SayAsync(IMqttClient client, ReadOnlyMemory<byte> state, CancellationToken ct)
    {
        var answer = await client.PublishAsync(Retained(new OutgoingMessage(_presence.Topic, state)), ct).ConfigureAwait(false);
        if (!answer.IsSuccess) SayOnce($"The broker does not let us publish {_presence.Topic} ({answer.ReasonCode}).");
    }

    private MqttApplicationMessage Retained(OutgoingMessage message)
    {
        var built = new MqttApplicationMessageBuilder()
            .WithTopic(message.Topic)
            .WithPayload(new ReadOnlySequence<byte>(message.Payload))
            .WithQualityOfServiceLevel(_presence.QualityOfService)
            .WithRetainFlag();
        if (message.ExpirySeconds > 0) built.WithMessageExpiryInterval(message.ExpirySeconds);
        return built.Build();
    }

    /// <summary>One minute, doubling to a quarter of an hour: two copies must not throw each other out in a storm.</summary>
    private TimeSpan? TakeoverDelay() => TimeSpan.FromMinutes(Math.Min(15, 1 << Math.Min(_takeovers++, 4)));

    private void SayOnce(string sentence)
    {
        if (_said.Add(sentence)) _log.Warning("{Sentence}", sentence);
    }

    private static string Innermost(Exception failure) => failure.GetBaseException().Message.TrimEnd('.');
}
