using BackyardSentinel.Contract;
using BackyardSentinel.Guards;
using Microsoft.Data.Sqlite;

namespace BackyardSentinel.Delivery;

public sealed class OutboxDispatcherTests : IDisposable
{
    private readonly FakeTimeProvider _time = new(Some.Morning);
    private readonly ScriptedReceiver _phone;
    private readonly OutboxBench _bench;

    public OutboxDispatcherTests()
    {
        _phone = new ScriptedReceiver("phone", _time);
        _bench = new OutboxBench(_time, _phone);
    }

    private static CancellationToken Ct => TestContext.Current.CancellationToken;

    public void Dispose() => _bench.Dispose();

    [Fact]
    public async Task A_message_is_sent_once_and_stays_delivered()
    {
        var alert = _bench.Post("a");
        await _bench.Pass(TimeSpan.FromHours(2), TimeSpan.FromMinutes(5), Ct);
        Assert.Equal(AlertJson.Write(alert), AlertJson.Write(Assert.Single(_phone.Attempts).Message));
        Assert.Equal(OutboxState.Delivered, _bench.State("a"));
    }

    [Fact]
    public async Task Attempts_follow_the_schedule_and_end_with_the_use_of_the_message()
    {
        _phone.Answer = (message, _) => message.Id == "a" ? ScriptedReceiver.Down : ScriptedReceiver.Taken;
        _bench.Post("a");
        await _bench.Pass(TimeSpan.FromMinutes(15), TimeSpan.FromSeconds(1), Ct);
        await _bench.Pass(TimeSpan.FromHours(26), TimeSpan.FromMinutes(1), Ct);

        // The schedule is our own (assumed): 0, 5 s, 30 s, 2 min, 10 min, then each 30 min, stretched by up to a tenth.
        var gaps = _phone.Attempts.Where(attempt => attempt.Message.Id == "a").Select(attempt => attempt.At).ToArray();
        var pauses = gaps.Zip(gaps.Skip(1), (one, next) => (next - one).TotalSeconds).ToArray();
        double[] expected = [5, 30, 120, 600, .. Enumerable.Repeat(1800.0, pauses.Length - 4)];
        Assert.All(pauses.Zip(expected), pair => Assert.InRange(pair.First, pair.Second, pair.Second * 1.1 + 61));
        Assert.InRange(pauses.Length, 44, 52);
        Assert.True(gaps[^1] < Some.Morning.AddHours(24));
        Assert.Equal(OutboxState.ExpiredReported, _bench.State("a"));
        var digest = Assert.Single(_phone.Got);
        Assert.Equal("1 alert could not be sent", digest.Title);
        Assert.EndsWith("\nLook at how things stand now.", digest.Text, StringComparison.Ordinal);
    }

    [Fact]
    public async Task A_newer_message_of_the_episode_is_sent_alone()
    {
        _phone.Answer = (_, _) => ScriptedReceiver.Down;
        _bench.Post("possible", "spell");
        await _bench.Pass(TimeSpan.FromMinutes(1), TimeSpan.FromSeconds(5), Ct);
        _bench.Post("likely", "spell");
        _phone.Answer = (_, _) => ScriptedReceiver.Taken;
        await _bench.Pass(TimeSpan.FromHours(26), TimeSpan.FromMinutes(5), Ct);
        Assert.Equal("likely", Assert.Single(_phone.Got).Id);
        Assert.Equal(OutboxState.Superseded, _bench.State("possible"));
    }

    [Fact]
    public async Task What_was_committed_before_a_kill_is_sent_after_it_once()
    {
        _bench.Post("a");
        _bench.Restart();
        await _bench.Dispatcher.SettleAsync(Ct);
        _bench.Restart();
        await _bench.Dispatcher.SettleAsync(Ct);
        Assert.Equal("a", Assert.Single(_phone.Attempts).Message.Id);
    }

    [Fact]
    public async Task A_kill_between_answer_and_mark_sends_at_most_one_message_again_with_the_same_id()
    {
        using var kill = new CancellationTokenSource();
        _phone.Answer = (_, ct) =>
        {
            _phone.Attempts.Add((_time.GetUtcNow(), Some.Alert("a"), ScriptedReceiver.Taken));
            kill.Cancel();
            ct.ThrowIfCancellationRequested();
            return ScriptedReceiver.Taken;
        };
        _bench.Post("a");
        _bench.Post("b");
        await Assert.ThrowsAnyAsync<OperationCanceledException>(() => _bench.Dispatcher.SettleAsync(kill.Token));

        _phone.Answer = (_, _) => ScriptedReceiver.Taken;
        for (var i = 0; i < 3; i++)
        {
            _bench.Restart();
            await _bench.Dispatcher.SettleAsync(Ct);
        }

        Assert.Equal(["a", "a", "b"], _phone.Got.Select(message => message.Id));
    }

    [Fact]
    public async Task What_was_taken_while_the_service_stops_is_marked_and_not_sent_again()
    {
        using var stop = new CancellationTokenSource();
        _phone.Answer = (_, _) =>
        {
            stop.Cancel();
            return ScriptedReceiver.Taken;
        };
        _bench.Post("a");
        await Assert.ThrowsAnyAsync<OperationCanceledException>(() => _bench.Dispatcher.SettleAsync(stop.Token));
        _bench.Restart();
        await _bench.Dispatcher.SettleAsync(Ct);
        Assert.Single(_phone.Attempts);
    }

    [Fact]
    public async Task The_pause_that_a_receiver_asks_for_outlives_a_restart()
    {
        _phone.Answer = (_, _) => new DeliveryResult.RetryLater("Too many.", TimeSpan.FromMinutes(20));
        _bench.Post("a");
        await _bench.Dispatcher.SettleAsync(Ct);
        _bench.Restart();
        _phone.Answer = (_, _) => ScriptedReceiver.Taken;
        await _bench.Pass(TimeSpan.FromMinutes(19), TimeSpan.FromSeconds(30), Ct);
        Assert.Single(_phone.Attempts);
        await _bench.Pass(TimeSpan.FromMinutes(2), TimeSpan.FromSeconds(30), Ct);
        Assert.Equal("a", Assert.Single(_phone.Got).Id);
    }

    [Fact]
    public async Task While_a_receiver_asks_for_a_pause_nothing_is_sent_to_it()
    {
        _phone.Answer = (_, _) => new DeliveryResult.RetryLater("Too many.", TimeSpan.FromMinutes(20));
        _bench.Post("a");
        _bench.Post("b");
        await _bench.Pass(TimeSpan.FromMinutes(19), TimeSpan.FromSeconds(30), Ct);
        Assert.Single(_phone.Attempts);
        _phone.Answer = (_, _) => ScriptedReceiver.Taken;
        await _bench.Pass(TimeSpan.FromMinutes(3), TimeSpan.FromSeconds(30), Ct);
        Assert.Equal(["a", "b"], _phone.Got.Select(message => message.Id).Order());
    }

    [Fact]
    public async Task A_message_held_back_counts_no_attempt()
    {
        _phone.Answer = (_, _) => new DeliveryResult.RetryLater("The clock is not set.", TimeSpan.FromSeconds(30)) { Attempted = false };
        _bench.Post("a");
        await _bench.Pass(TimeSpan.FromHours(3), TimeSpan.FromSeconds(30), Ct);
        Assert.Equal(0, Assert.Single(_bench.Outbox.Rows()).Attempts);
        _phone.Answer = (_, _) => ScriptedReceiver.Taken;
        await _bench.Pass(TimeSpan.FromSeconds(30), TimeSpan.FromSeconds(30), Ct);
        Assert.Single(_phone.Got);
    }

    [Fact]
    public async Task A_receiver_that_is_gone_is_asked_no_more_until_it_is_another()
    {
        _phone.Answer = (_, _) => new DeliveryResult.Rejected("It is gone.", SwitchOff: true);
        _bench.Post("a");
        await _bench.Dispatcher.SettleAsync(Ct);
        _bench.Post("b");
        _bench.Restart();
        await _bench.Dispatcher.SettleAsync(Ct);
        Assert.Single(_phone.Attempts);
        Assert.Equal("It is gone.", _bench.Dispatcher.Health.Problems["phone"]);

        _phone.Fingerprint = "two";
        _phone.Answer = (_, _) => ScriptedReceiver.Taken;
        _time.Advance(TimeSpan.FromMinutes(1));
        _bench.Post("c");
        await _bench.Dispatcher.SettleAsync(Ct);
        // The two that were rejected are told of once the path works.
        Assert.Equal(["c", $"digest-phone-{_time.GetUtcNow().ToUnixTimeMilliseconds()}"], _phone.Got.Select(message => message.Id));
        Assert.Equal("2", _phone.Got.Last().Facts["count"]);
        Assert.Equal([OutboxState.RejectedReported, OutboxState.RejectedReported], [_bench.State("a"), _bench.State("b")]);
    }

    [Fact]
    public async Task A_receiver_that_refuses_all_is_not_flooded_with_digests()
    {
        _phone.Answer = (_, _) => new DeliveryResult.Rejected("No.");
        for (var i = 0; i < 5; i++)
        {
            _bench.Post("a" + i);
            await _bench.Pass(TimeSpan.FromHours(6), TimeSpan.FromMinutes(10), Ct);
        }

        Assert.Equal(5, _phone.Attempts.Count);
    }

    [Fact]
    public async Task Messages_to_a_receiver_that_got_another_name_go_there()
    {
        _phone.Answer = (_, _) => ScriptedReceiver.Down;
        var alert = _bench.Post("a");
        await _bench.Pass(TimeSpan.FromHours(1), TimeSpan.FromMinutes(1), Ct);
        var other = new ScriptedReceiver("other", _time);
        _bench.Restart(other);
        await _bench.Dispatcher.SettleAsync(Ct);
        Assert.Equal(AlertJson.Write(alert), AlertJson.Write(Assert.Single(other.Got)));
        Assert.Equal([OutboxState.Delivered, OutboxState.Superseded], _bench.States("a"));
    }

    [Fact]
    public async Task Messages_to_a_receiver_that_was_removed_come_to_an_end_where_there_is_no_other()
    {
        _bench.Post("a");
        _bench.Restart([]);
        await _bench.Dispatcher.SettleAsync(Ct);
        Assert.Equal(OutboxState.RejectedReported, _bench.State("a"));
    }

    [Fact]
    public async Task An_address_that_was_changed_is_tried_at_once()
    {
        _phone.Answer = (_, _) => ScriptedReceiver.Down;
        _bench.Post("a");
        await _bench.Pass(TimeSpan.FromHours(1), TimeSpan.FromMinutes(1), Ct);
        var same = new ScriptedReceiver("phone", _time);
        _bench.Restart(same);
        await _bench.Dispatcher.SettleAsync(Ct);
        Assert.Empty(same.Attempts); // The pause was for this address.

        var moved = new ScriptedReceiver("phone", _time) { Fingerprint = "elsewhere" };
        _bench.Restart(moved);
        await _bench.Dispatcher.SettleAsync(Ct);
        Assert.Single(moved.Got);
        Assert.Equal(OutboxState.Delivered, _bench.State("a"));
    }

    [Fact]
    public async Task A_clock_set_back_three_weeks_delays_nothing()
    {
        _phone.Answer = (_, _) => ScriptedReceiver.Down;
        _bench.Post("a");
        await _bench.Pass(TimeSpan.FromHours(1), TimeSpan.FromMinutes(1), Ct);
        _time.AdjustTime(_time.GetUtcNow().AddDays(-21));
        _phone.Answer = (_, _) => ScriptedReceiver.Taken;
        await _bench.Pass(TimeSpan.FromMinutes(1), TimeSpan.FromMinutes(1), Ct);
        Assert.Single(_phone.Got);
    }

    [Fact]
    public async Task A_store_that_takes_no_mark_does_not_make_a_message_go_out_twice()
    {
        using var other = new SqliteConnection($"Data Source={_bench.File};Pooling=False");
        other.Open();
        _phone.Answer = (_, _) =>
        {
            // As a full disk would: nothing can be marked.
            Run("create trigger if not exists full before update on outbox begin select raise(abort, 'full'); end");
            return ScriptedReceiver.Taken;
        };
        _bench.Post("a");
        var settling = _bench.Dispatcher.SettleAsync(Ct);
        await Some.Until(() => _bench.Said.Lines.Any(line => line.Contains("The outbox takes nothing", StringComparison.Ordinal)), Ct);
        Assert.False(settling.IsCompleted);
        Assert.Equal(OutboxState.Waiting, _bench.State("a"));
        Run("drop trigger full");
        await Some.Until(() =>
        {
            _time.Advance(TimeSpan.FromSeconds(1));
            return settling.IsCompleted;
        }, Ct);
        await settling;

        void Run(string sql)
        {
            using var command = other.CreateCommand();
            command.CommandText = sql;
            command.ExecuteNonQuery();
        }

        Assert.Single(_phone.Attempts);
        Assert.Equal(OutboxState.Delivered, _bench.State("a"));
    }

    [Fact]
    public async Task Running_it_sends_at_once_when_woken_and_again_when_time_comes()
    {
        using var stop = CancellationTokenSource.CreateLinkedTokenSource(Ct);
        var running = _bench.Dispatcher.RunAsync(stop.Token);
        _phone.Answer = (_, _) => _phone.Attempts.Count < 2 ? ScriptedReceiver.Down : ScriptedReceiver.Taken;
        _bench.Post("a");
        _bench.Dispatcher.Wake();
        await Some.Until(() => _phone.Attempts.Count == 1, Ct);
        await Some.Until(() =>
        {
            _time.Advance(TimeSpan.FromSeconds(1));
            return _bench.State("a") == OutboxState.Delivered;
        }, Ct);
        await stop.CancelAsync();
        await running;
        Assert.Equal(3, _phone.Attempts.Count);
    }

    [Fact]
    public async Task A_way_that_hangs_is_late_within_the_time_of_an_attempt_and_grace_also_where_it_slept_before()
    {
        using var released = new ManualResetEventSlim();
        using var begun = new ManualResetEventSlim();
        _phone.Answer = (_, _) =>
        {
            begun.Set();
            released.Wait(CancellationToken.None);
            return ScriptedReceiver.Taken;
        };
        using var stop = new CancellationTokenSource();
        var turns = Assert.Single(_bench.Dispatcher.Turns).Turns;
        var running = _bench.Dispatcher.RunAsync(stop.Token);
        for (var i = 0; i < 30; i++)
        {
            _time.Advance(TimeSpan.FromSeconds(10));
            await Until.TrueAsync(() => !turns.IsLate, "it turns while there is nothing to send");
        }

        _bench.Post("a");
        _bench.Dispatcher.Wake();
        await Until.TrueAsync(() => begun.IsSet, "it is being sent");
        _time.Advance(WebhookReceiver.AttemptTimeout + TurnWatch.Grace + TimeSpan.FromSeconds(1));
        Assert.True(turns.IsLate);
        released.Set();
        await Until.TrueAsync(() => !turns.IsLate, "it turns again");
        await stop.CancelAsync();
        await running;
    }

    [Fact]
    public async Task A_real_receiver_that_was_down_gets_each_message_once_when_it_is_back()
    {
        await using var peer = await HttpPeer.StartAsync(ct: Ct);
        using var http = new HttpMessageInvoker(PublicAddress.Handler(allowPrivate: true));
        Assert.True(
            WebhookReceiver.TryCreate(
                new ReceiverSettings
                {
                    Id = "phone",
                    Url = peer.Url.AbsoluteUri,
                    Secret = Some.Secret,
                },
                http,
                _time,
                () => true,
                out var receiver,
                out _));
        _bench.Restart(receiver!);
        peer.AnswerWith(503);
        _bench.Post("a");
        _bench.Post("b");
        await _bench.Pass(TimeSpan.FromMinutes(3), TimeSpan.FromSeconds(5), Ct);
        var tries = Sent().Length;
        Assert.InRange(tries, 6, 10);
        peer.AnswerWith(204);
        await _bench.Pass(TimeSpan.FromMinutes(40), TimeSpan.FromMinutes(1), Ct);
        Assert.Equal(["a", "b"], Sent().Skip(tries).Order());

        // Other programs on this machine may knock at a port that was another's a moment ago: only messages have an id.
        string[] Sent() => [.. peer.Requests.Select(request => request.Headers.GetValueOrDefault("webhook-id")).OfType<string>()];
    }
}
