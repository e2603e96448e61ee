using System.Buffers;
using BackyardSentinel.Guards;
using MQTTnet;
using MQTTnet.Diagnostics.Logger;
using MQTTnet.Protocol;
using Polly;
using Polly.Retry;
using Serilog.Events;
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

    /// <summary>
    /// The longest pause; with <see cref="BrokerPatience.StepLimit"/> before it, a broker that is well again is found within two minutes.
    /// </summary>
    private static readonly TimeSpan LongestPause = TimeSpan.FromSeconds(95);

    /// <summary>So often, at most, two clients of one name throw each other out; a little longer by chance.</summary>
    private static readonly TimeSpan TakeoverPause = TimeSpan.FromMinutes(1);

    /// <summary>A connection that held this long was not taken over by one that comes back every minute.</summary>
    private static readonly TimeSpan Untouched = TimeSpan.FromMinutes(10);

    /// <summary>A loss of the link this short leaves the service well; the broker keeps what is sent meanwhile.</summary>
    private static readonly TimeSpan ShortLoss = TimeSpan.FromMinutes(10);

    /// <summary>The same reason is said again after this long; in between its repetitions are for the curious.</summary>
    private static readonly TimeSpan Repeat = TimeSpan.FromHours(1);

    /// <summary>A link that has nothing to say turns so often all the same.</summary>
    private static readonly TimeSpan IdlePause = TimeSpan.FromSeconds(10);

    private readonly BrokerOptions _broker;
    private readonly LinkPresence _presence;
    private readonly IReadOnlyCollection<string> _topics;
    private readonly TimeProvider _time;
    private readonly ILogger _log;
    private readonly RetainedShelf _shelf = new();
    private readonly InDoubt _inDoubt = new();
    private readonly LinkReceiver _receiver;
    private readonly HashSet<string> _said = new(StringComparer.Ordinal);
    private readonly Dictionary<string, DateTimeOffset> _told = new(StringComparer.Ordinal);
    private readonly bool _retainedEachTime;
    private readonly Func<bool> _isTold;
    private int _connections;
    private bool _wasConnected;
    private int _closedInARow;
    private long _lastUp;
    private volatile BrokerTalk? _talk;
    private volatile LinkTrouble? _trouble;

    /// <summary>Makes a link that is not yet connected.</summary>
    /// <param name="broker">Which broker, and as whom.</param>
    /// <param name="topics">Topics to subscribe to, without overlaps.</param>
    /// <param name="onMessage">Takes a message; may wait, which holds the broker back. Must be quick otherwise.</param>
    /// <param name="time">The clock of waits.</param>
    /// <param name="log">Where sentences go.</param>
    /// <param name="presence">Birth, goodbye and last will; <c>null</c> takes the service's own on the broker's state topic.</param>
    /// <param name="retainedEachTime">Retained messages are wanted at every connection, also where the session goes on.</param>
    /// <param name="isTold">What keeps it from the broker is told by another link already; <c>null</c>: by none.</param>
    public MqttLink(
        BrokerOptions broker,
        IReadOnlyCollection<string> topics,
        Func<ArrivedMessage, CancellationToken, ValueTask> onMessage,
        TimeProvider time,
        ILogger log,
        LinkPresence? presence = null,
        bool retainedEachTime = false,
        Func<bool>? isTold = null)
    {
        (_broker, _topics, _time, _log, _retainedEachTime) = (broker, topics, time, log, retainedEachTime);
        _isTold = isTold ?? (() => false);
        Turns = new TurnWatch(time);
        _presence = presence ?? LinkGreeting.Presence(broker);
        _receiver = new LinkReceiver(_inDoubt, onMessage, log);
        _lastUp = time.GetTimestamp(); // As if it had been: a start gets as long.
    }

    /// <summary>The link is up: connected and subscribed.</summary>
    public bool IsUp { get; private set; }

    /// <summary>The link is up, or has been down for no longer than a broker takes to start again. May be asked by any thread.</summary>
    public bool IsWell => IsUp || _time.GetElapsedTime(Volatile.Read(ref _lastUp)) <= ShortLoss;

    /// <summary>Why the link is down; <c>null</c>: it is up, or has only begun. May be asked by any thread.</summary>
    public LinkTrouble? Trouble => _trouble;

    /// <summary>Whether the link's task turns, also while the broker is away; late where it hangs.</summary>
    public TurnWatch Turns { get; }

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
        if (!IsUp || _talk is not { } talk)
            throw new LinkException($"The link to the broker is down.");
        var message = new MqttApplicationMessageBuilder()
            .WithTopic(topic)
            .WithPayload(new ReadOnlySequence<byte>(payload))
            .WithQualityOfServiceLevel(MqttQualityOfServiceLevel.AtLeastOnce)
            .Build();
        var answer = await talk.PublishAsync(message, ct).ConfigureAwait(false);
        if (!answer.IsSuccess)
            throw new LinkException(BrokerSentences.ForPublish(answer.ReasonCode, topic, _broker.TopicRoot));
    }

    /// <summary>Keeps the link until cancelled, then says goodbye to the broker.</summary>
    /// <param name="ct">Ends it.</param>
    public async Task RunAsync(CancellationToken ct)
    {
        var pipeline = new ResiliencePipelineBuilder { TimeProvider = _time }
            .AddRetry(
                new RetryStrategyOptions
                {
                    ShouldHandle = args => ValueTask.FromResult(args.Outcome.Exception is LinkException),
                    MaxRetryAttempts = int.MaxValue,
                    BackoffType = DelayBackoffType.Exponential,
                    UseJitter = true,
                    Delay = TimeSpan.FromSeconds(1),
                    MaxDelay = LongestPause,
                    DelayGenerator = args =>
                        ValueTask.FromResult<TimeSpan?>(
                            args.Outcome.Exception is LinkException { TakenOver: true }
                                ? TakeoverPause * (1 + Random.Shared.NextDouble() / 2)
                                : null),
                    OnRetry = args =>
                    {
                        Turns.Turn(args.RetryDelay);
                        var failure = (LinkException)args.Outcome.Exception!;
                        NoteTrouble(failure);
                        Tell(failure.Message, args.RetryDelay);
                        return ValueTask.CompletedTask;
                    },
                })
            .Build();
        try
        {
            while (!ct.IsCancellationRequested)
                await pipeline
                    .ExecuteAsync(async token => await ServeOneConnectionAsync(token).ConfigureAwait(false), ct)
                    .ConfigureAwait(false);
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
        var inFlight = new InFlight();
        using var client = new MqttClientFactory(new MqttNetNullLogger(), inFlight).CreateMqttClient();
        var lost = new TaskCompletionSource<MqttClientDisconnectedEventArgs>(TaskCreationOptions.RunContinuationsAsynchronously);
        client.DisconnectedAsync += args =>
        {
            IsUp = false;
            lost.TrySetResult(args);
            return Task.CompletedTask;
        };
        var talk = new BrokerTalk(client, _broker, _presence, _shelf, Turns, _said, _time, _log);
        var burst = new OpeningBurst(++_connections, _time);
        client.ApplicationMessageReceivedAsync += args => _receiver.ReceiveAsync(args, burst, inFlight, ct);

        var began = _time.GetTimestamp();
        var isIn = false;
        var certificate = new BrokerCertificate(_broker);
        try
        {
            await ConnectAsync(talk, burst, certificate, ct).ConfigureAwait(false);
            (isIn, began) = (true, _time.GetTimestamp());
            await talk.SubscribeAsync(_topics, _retainedEachTime, ct).ConfigureAwait(false);
            // Not before: what is sent to a new session ahead of its subscription does not come.
            _log.Information("Connected to the broker at {Host}:{Port} as {Client}.", _broker.Host, _broker.Port, _broker.Client);
            await talk.SayAsync(_presence.Birth(_time.GetUtcNow()), ct).ConfigureAwait(false);
            _shelf.AllWait();
            if (_presence.AllSent is { } allSent)
            {
                await talk.SendWaitingAsync(ct).ConfigureAwait(false);
                await talk.SayAsync(allSent, ct).ConfigureAwait(false);
            }

            _told.Clear();
            (_talk, _trouble, IsUp) = (talk, null, true);
            try
            {
                await PublishUntilLostAsync(talk, lost.Task, ct).ConfigureAwait(false);
            }
            finally
            {
                Volatile.Write(ref _lastUp, _time.GetTimestamp());
            }
        }
        catch (OperationCanceledException) when (ct.IsCancellationRequested)
        {
            IsUp = false;
            await talk.SayGoodbyeAsync().ConfigureAwait(false);
            throw;
        }
        catch (Exception failure)
        {
            IsUp = false;
            if (isIn && failure is not LinkException && lost.Task.IsCompleted)
                throw Loss(await lost.Task.ConfigureAwait(false));
            _closedInARow = 0;
            var reason = isIn
                ? BrokerSentences.ForLoss(MqttClientDisconnectReason.UnspecifiedError, _broker, false)
                : BrokerSentences.ForFailure(failure, _broker, certificate);
            throw failure as LinkException ?? new LinkException(reason, inner: failure);
        }
        finally
        {
            burst.End();
        }

        IsUp = false;
        if (_time.GetElapsedTime(began) >= Untouched)
            _closedInARow = 0;
        var loss = Loss(await lost.Task.ConfigureAwait(false));
        if (loss.TakenOver || _time.GetElapsedTime(began) < Stable)
            throw loss;
        NoteTrouble(loss);
        _log.Write(TroubleLevel, "{Reason} It will be tried again at once.", loss.Message);
    }

    private LogEventLevel TroubleLevel => _isTold() ? LogEventLevel.Debug : LogEventLevel.Warning;

    private void NoteTrouble(LinkException failure) => _trouble = new LinkTrouble(_trouble?.Since ?? _time.GetUtcNow(), failure.Says);

    /// <summary>
    /// Why a connection that stood is gone. Many brokers only close it when another client of the same name connects; one
    /// that closes two in a row, with no other trouble between, is taken to mean that.
    /// </summary>
    private LinkException Loss(MqttClientDisconnectedEventArgs end)
    {
        _closedInARow = end is { Reason: MqttClientDisconnectReason.NormalDisconnection, Exception: null } ? _closedInARow + 1 : 0;
        var again = _closedInARow >= 2;
        return new LinkException(
            BrokerSentences.ForLoss(end.Reason, _broker, again),
            takenOver: again || end.Reason == MqttClientDisconnectReason.SessionTakenOver);
    }

    private async Task ConnectAsync(BrokerTalk talk, OpeningBurst burst, BrokerCertificate certificate, CancellationToken ct)
    {
        var greeting = LinkGreeting.Options(_broker, _presence, certificate);
        // A refusal does not throw: the code must be looked at.
        var answer = await talk.ConnectAsync(greeting, ct).ConfigureAwait(false);
        if (answer.ResultCode != MqttClientConnectResultCode.Success)
            throw new LinkException(BrokerSentences.ForConnect(answer.ResultCode, _broker));
        if (!answer.IsSessionPresent)
        {
            _inDoubt.SessionForgotten();
            if (_wasConnected && _topics.Count > 0)
                _log.Write(
                    TroubleLevel, "The broker has forgotten our session: what was sent while the link was down may be missing.");
        }

        _wasConnected = true;
        burst.Begin(answer.IsSessionPresent);
    }

    private async Task PublishUntilLostAsync(BrokerTalk talk, Task lost, CancellationToken ct)
    {
        using var ended = CancellationTokenSource.CreateLinkedTokenSource(ct);
        using var bell = _time.CreateTimer(_ => _shelf.Signal(), null, IdlePause, IdlePause);
        _ = lost.ContinueWith(
            _ => ended.Cancel(),
            CancellationToken.None,
            TaskContinuationOptions.ExecuteSynchronously,
            TaskScheduler.Default);
        try
        {
            while (!lost.IsCompleted)
            {
                Turns.Turn(IdlePause);
                await talk.SendWaitingAsync(ended.Token).ConfigureAwait(false);
                await _shelf.SignalAsync(ended.Token).ConfigureAwait(false);
            }
        }
        catch (Exception) when (lost.IsCompleted && !ct.IsCancellationRequested)
        {
            // The loss itself is told by the caller.
        }
    }

    private void Tell(string reason, TimeSpan pause)
    {
        var now = _time.GetUtcNow();
        var isNews = !_told.TryGetValue(reason, out var at) || now - at >= Repeat || now < at;
        if (isNews)
        {
            if (_told.Count >= 50) _told.Clear(); // A line that fails otherwise each time gets no more memory than this.
            _told[reason] = now;
        }

        _log.Write(
            isNews ? TroubleLevel : LogEventLevel.Debug,
            "{Reason} It is tried again, next in {Delay:0.0} s.",
            reason,
            pause.TotalSeconds);
    }

}
