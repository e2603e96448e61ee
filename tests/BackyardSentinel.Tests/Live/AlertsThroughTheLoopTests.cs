using System.Collections.Concurrent;
using System.Text.Json;
using BackyardSentinel.Alerting;
using BackyardSentinel.Contract;
using BackyardSentinel.Delivery;
using BackyardSentinel.Forecasts;
using BackyardSentinel.Sensors;
using BackyardSentinel.Weather;
using Serilog.Core;

namespace BackyardSentinel.Live;

/// <summary>Journal, alerts and answers on their way through the loop, over restarts and while it runs.</summary>
public sealed class AlertsThroughTheLoopTests : IDisposable
{
    private static readonly DateTimeOffset Dawn = new(2027, 3, 1, 0, 0, 0, TimeSpan.Zero);

    private static readonly Site Yard = new()
    {
        Id = "yard",
        LatitudeDeg = 46,
        LongitudeDeg = 14,
        Plantings = [new Planting("old-peach") { Follows = StageNeeds.Default }],
    };

    private readonly string _folder = Directory.CreateTempSubdirectory("sentinel-alerts-").FullName;
    private readonly ConcurrentDictionary<string, string> _published = [];

    private static CancellationToken Ct => TestContext.Current.CancellationToken;

    public void Dispose() => Directory.Delete(_folder, true);

    [Fact]
    public async Task Restarts_after_every_few_messages_send_nothing_twice_and_lose_nothing()
    {
        var day = WetDay();
        await RunAsync("one.db", day);
        foreach (var piece in day.Chunk(7))
            await RunAsync("two.db", [day[Math.Max(0, day.IndexOf(piece[0]) - 1)], .. piece]);

        var atOnce = Outbox("one.db");
        Assert.Contains(atOnce, row => row.Message.Contains("\"possible\"", StringComparison.Ordinal));
        Assert.Equal(
            atOnce.Select(row => (row.Id, row.Receiver, row.Message)),
            Outbox("two.db").Select(row => (row.Id, row.Receiver, row.Message)));
        // One row for each alert and receiver.
        Assert.Equal(atOnce.Count, atOnce.Select(row => (row.Id, row.Receiver)).Distinct().Count());
        Assert.Equal(["phone", "wall"], atOnce.Select(row => row.Receiver).Distinct().Order());
    }

    [Fact]
    public async Task A_level_that_rose_and_fell_while_the_service_was_off_is_told_as_past()
    {
        // A wet day and the dry night after it wait at the broker when the service comes up.
        var taken = 0;
        List<ArrivedMessage> night =
        [
            .. WetDay()
                .Concat(Enumerable.Range(144, 36).Select(i => Message(Dawn.AddMinutes(10 * i), 9.5, 55, 0)))
                .Select(
                    one => new ArrivedMessage(one.Topic, one.Payload, acknowledge: _ => Task.FromResult(Interlocked.Increment(ref taken)))),
        ];
        var time = new FakeTimeProvider(Dawn.AddHours(30));
        using var store = SentinelStore.Open(Path.Combine(_folder, "past.db"));
        var told = new ConcurrentQueue<AlertMessage>();
        var words = AlertWords.English(Units.UnitSystem.Metric);
        var outbox = new AlertOutbox([], alert => words.Say(alert, _ => TimeZoneInfo.Utc).For(alert), null, told.Enqueue);
        var loop = Loop(
            store,
            new LoopOptions { CommitWindow = TimeSpan.Zero },
            time,
            new LoopParts { Outbox = outbox, IsListening = () => true });
        using var stop = new CancellationTokenSource();
        var running = loop.RunAsync(stop.Token);
        foreach (var message in night)
            await loop.OfferAsync(message, Ct);
        await Until.TrueAsync(() => Volatile.Read(ref taken) == night.Count, "all is taken");
        await Until.TrueAsync(
            () =>
            {
                time.Advance(TimeSpan.FromSeconds(1));
                return told.Any(one => one.Kind == "level-risen");
            },
            "it is told");
        await stop.CancelAsync();
        await running;

        var risen = told.Where(one => one.Kind == "level-risen").ToList();
        Assert.NotEmpty(risen);
        Assert.All(risen, one => Assert.Contains("Curl weather was ", one.Title, StringComparison.Ordinal));
        Assert.All(risen, one => Assert.Contains("told late: it has fallen again", one.Text, StringComparison.Ordinal));
        Assert.DoesNotContain(risen, one => one.Text.Contains("watch the level", StringComparison.Ordinal));
    }

    [Fact]
    public async Task A_thousand_restarts_with_retained_topics_add_no_message()
    {
        await RunAsync("garden.db", WetDay().Take(100).ToList());
        var before = Outbox("garden.db");
        Assert.NotEmpty(before);

        // What a broker greets a new subscriber with: the last reading, retained, of unknown age.
        using (var store = SentinelStore.Open(Path.Combine(_folder, "garden.db")))
        {
            for (var i = 0; i < 1000; i++)
            {
                var loop = Loop(
                    store,
                    new LoopOptions { ClockFromReadings = true },
                    TimeProvider.System,
                    new LoopParts { Outbox = Mailbox() });
                await loop.OfferAsync(
                    new ArrivedMessage(
                        "station",
                        Encoding.UTF8.GetBytes("{\"Temperature\":1,\"Humidity\":99,\"Rain\":25}"),
                        retained: true),
                    Ct);
                loop.Complete();
                await loop.RunAsync(CancellationToken.None);
            }
        }

        Assert.Equal(before, Outbox("garden.db"));
    }

    [Fact]
    public async Task A_stage_written_down_while_the_service_runs_counts_within_seconds()
    {
        var time = new FakeTimeProvider(Dawn.AddHours(6));
        using var store = SentinelStore.Open(Path.Combine(_folder, "garden.db"));
        using var journal = JournalBook.Open(Path.Combine(_folder, "garden.db"));
        var loop = Loop(store, new LoopOptions { CommitWindow = TimeSpan.FromSeconds(1) }, time, new LoopParts { Journal = journal });
        using var stop = new CancellationTokenSource();
        var running = loop.RunAsync(stop.Token);
        for (var minute = 0; minute < 30; minute += 10)
        {
            await loop.OfferAsync(Message(Dawn.AddHours(6).AddMinutes(minute), 8, 70, 0), Ct);
            time.Advance(TimeSpan.FromMinutes(10));
        }

        await Until.TrueAsync(
            () =>
            {
                // A loop that comes to look only now sees a clock that has leapt, and gives it some seconds to settle.
                time.Advance(TimeSpan.FromSeconds(1));
                return Risk() is { } risk && risk.GetProperty("as_of").ValueKind == JsonValueKind.String;
            },
            "an interval is judged");
        Assert.Equal((0, false), (Risk()!.Value.GetProperty("stage").GetInt32(), Risk()!.Value.GetProperty("stage_sure").GetBoolean()));

        using (var grower = JournalBook.Open(Path.Combine(_folder, "garden.db")))
            grower.Add(new StageEntry(0, "yard", "old-peach", new DateOnly(2027, 2, 25), 9), time.GetUtcNow());
        await Until.TrueAsync(
            () =>
            {
                Assert.False(running.IsFaulted, running.Exception?.ToString());
                time.Advance(TimeSpan.FromSeconds(1));
                return Risk()!.Value.GetProperty("stage").GetInt32() > 0;
            },
            "the stage is published");

        Assert.Equal(9, Risk()!.Value.GetProperty("stage").GetInt32());
        Assert.Equal("none", Risk()!.Value.GetProperty("cover").GetString());
        await stop.CancelAsync();
        await running;
    }

    [Fact]
    public async Task An_answer_by_topic_is_kept_and_one_that_cannot_be_read_is_kept_aside()
    {
        var file = Path.Combine(_folder, "garden.db");
        using var store = SentinelStore.Open(file);
        Tell(store, "one", "yard/old-peach/window/x");
        using var answers = AnswerBook.Open(file);
        var loop = Answering(store, answers);
        await loop.OfferAsync(Answer("{\"episode\":\"yard/old-peach/window/x\",\"kind\":\"later\",\"for\":\"6h\"}"), Ct);
        await loop.OfferAsync(Answer("{\"episode\":\"yard/old-peach/window/x\",\"kind\":\"shout\"}"), Ct);
        await loop.OfferAsync(Answer("yes"), Ct);
        loop.Complete();
        await loop.RunAsync(CancellationToken.None);

        var answer = Assert.Single(answers.Rows());
        Assert.Equal(("later", Dawn.AddHours(6).ToUnixTimeMilliseconds()), (answer.Kind, answer.UntilMs!.Value));
        Assert.Equal(2, store.Quarantine().Count);
    }

    [Fact]
    public async Task An_answer_by_topic_to_an_alert_that_nobody_knows_is_told_once_and_not_stored()
    {
        var file = Path.Combine(_folder, "garden.db");
        using var store = SentinelStore.Open(file);
        Tell(store, "one", "yard/old-peach/window/x");
        using var answers = AnswerBook.Open(file);
        using var said = new LogLines();
        var loop = Answering(store, answers, said.Logger);
        await loop.OfferAsync(Answer("{\"episode\":\"yard/old-peach/window/y\",\"kind\":\"seen\"}"), Ct);
        await loop.OfferAsync(Answer("{\"episode\":\"yard/old-peach/window/y\",\"kind\":\"later\",\"for\":\"6h\"}"), Ct);
        loop.Complete();
        await loop.RunAsync(CancellationToken.None);

        Assert.Empty(answers.Rows());
        Assert.Equal(
            "sentinel/answer: no alert has the id or the episode \"yard/old-peach/window/y\", so there is nothing to answer. "
                + "The message is kept aside; the command 'refused' lists it.",
            Assert.Single(said.Lines, line => line.Contains("window/y", StringComparison.Ordinal)));
        Assert.Equal(2, Assert.Single(store.Quarantine()).Count);
    }

    [Fact]
    public async Task An_answer_that_the_broker_has_kept_counts_for_nothing()
    {
        var file = Path.Combine(_folder, "garden.db");
        using var store = SentinelStore.Open(file);
        using var answers = AnswerBook.Open(file);
        var loop = Answering(store, answers);
        await loop.OfferAsync(Answer("{\"episode\":\"yard/old-peach/window/x\",\"kind\":\"later\",\"for\":\"6h\"}", retained: true), Ct);
        loop.Complete();
        await loop.RunAsync(CancellationToken.None);

        Assert.Empty(answers.Rows());
        Assert.Contains("publish it without the retain flag", Assert.Single(store.Quarantine()).Reason.Text, StringComparison.Ordinal);
    }

    [Fact]
    public async Task A_summary_is_answered_for_everything_that_it_lists()
    {
        var file = Path.Combine(_folder, "garden.db");
        using var store = SentinelStore.Open(file);
        Tell(store, "garden-summary-1", "garden-summary-1", "yard/old-peach/window/a\nyard/old-peach/scouting/b");
        using var answers = AnswerBook.Open(file);
        var loop = Answering(store, answers);
        await loop.OfferAsync(Answer("{\"episode\":\"garden-summary-1\",\"kind\":\"seen\"}"), Ct);
        loop.Complete();
        await loop.RunAsync(CancellationToken.None);

        Assert.Equal(["yard/old-peach/window/a", "yard/old-peach/scouting/b"], answers.Rows().Select(answer => answer.Episode));
    }

    [Fact]
    public async Task A_forecast_by_topic_outlives_a_restart_and_nonsense_does_not_replace_it()
    {
        var file = Path.Combine(_folder, "garden.db");
        using var store = SentinelStore.Open(file);
        var parts = new LoopParts { ForecastTopic = ("weather/ahead", null) };
        var loop = Loop(store, new LoopOptions(), new FakeTimeProvider(Dawn), parts);
        var forecast = new Forecast("invented", Dawn, [new ForecastHour(Dawn, 8, 95, 1.5)]);
        await loop.OfferAsync(new ArrivedMessage("weather/ahead", ForecastJson.Write(forecast)), Ct);
        await loop.OfferAsync(new ArrivedMessage("weather/ahead", Encoding.UTF8.GetBytes("<html>busy</html>")), Ct);
        loop.Complete();
        await loop.RunAsync(CancellationToken.None);

        Assert.Equal(1.5, ForecastJson.Read(store.LastForecast()).Forecast!.Hours[0].RainMm);
        Assert.Single(store.Quarantine());
    }

    [Theory]
    [InlineData(11, true)]
    [InlineData(13, false)]
    public async Task A_forecast_is_looked_at_for_messages_until_it_is_twelve_hours_old(int hoursOld, bool counts)
    {
        using var store = SentinelStore.Open(Path.Combine(_folder, "garden.db"));
        store.KeepForecast(
            ForecastJson.Write(new Forecast("invented", Dawn.AddHours(-hoursOld), [new ForecastHour(Dawn.AddHours(1), 8, 95, 1.5)])));
        var time = new FakeTimeProvider(Dawn);
        var looks = new ConcurrentQueue<bool>();
        var parts = new LoopParts
        {
            LookAhead = outlook =>
            {
                looks.Enqueue(outlook.Forecast is not null);
                return [];
            },
        };
        var loop = Loop(store, new LoopOptions(), time, parts);
        using var stop = new CancellationTokenSource();
        var running = loop.RunAsync(stop.Token);
        await Until.TrueAsync(
            () =>
            {
                time.Advance(TimeSpan.FromSeconds(1));
                return !looks.IsEmpty;
            },
            "it is looked ahead");
        await stop.CancelAsync();
        await running;
        Assert.Equal(counts, looks.First());
    }

    private static void Tell(SentinelStore store, string id, string episode, string? several = null)
    {
        var batch = new StoreBatch();
        var message = new AlertMessage(
            id, episode, "yard", [], "summary", null, Urgency.Normal, Dawn, Dawn.AddDays(1), "2 things", "text",
            several is null ? AlertMessage.NoFacts : new Dictionary<string, string> { ["episodes"] = several });
        batch.Outbox.Add(OutboxDispatcher.Row(message, new ReceiverSettings { Id = "phone", Kind = ReceiverKind.DryRun }));
        store.Commit(batch);
    }

    private SentinelLoop Answering(SentinelStore store, AnswerBook answers, Serilog.ILogger? log = null) => Loop(
        store, new LoopOptions(), new FakeTimeProvider(Dawn), new LoopParts { Answers = answers, AnswerTopic = "sentinel/answer" }, log);

    private SentinelLoop Loop(
        SentinelStore store, LoopOptions options, TimeProvider time, LoopParts parts, Serilog.ILogger? log = null) => new(
        store, new PayloadMap(Station.OneMessage, options.ClockFromReadings), [Yard],
        message => _published[message.Topic] = Encoding.UTF8.GetString(message.Payload.Span), options, time, log ?? Logger.None,
        null, parts);

    private static AlertOutbox Mailbox() =>
        new(
            [
                new ReceiverSettings { Id = "phone", Kind = ReceiverKind.DryRun },
                new ReceiverSettings { Id = "wall", Kind = ReceiverKind.DryRun },
            ],
            alert => new AlertText($"{alert.Kind} {alert.Level}", "text").For(alert));

    private async Task RunAsync(string file, IReadOnlyList<ArrivedMessage> messages)
    {
        using var store = SentinelStore.Open(Path.Combine(_folder, file));
        var loop = Loop(store, new LoopOptions { ClockFromReadings = true }, TimeProvider.System, new LoopParts { Outbox = Mailbox() });
        foreach (var message in messages)
            await loop.OfferAsync(message, Ct);
        loop.Complete();
        await loop.RunAsync(CancellationToken.None);
    }

    private IReadOnlyList<OutboxRow> Outbox(string file)
    {
        using var outbox = OutboxStore.Open(Path.Combine(_folder, file));
        return outbox.Rows();
    }

    private JsonElement? Risk() =>
        _published.TryGetValue("sentinel/yard/old-peach/risk", out var json) ? JsonDocument.Parse(json).RootElement : null;

    private static List<ArrivedMessage> WetDay() =>
        [
            .. Enumerable
                .Range(0, 144)
                .Select(i => Message(Dawn.AddMinutes(10 * i), 9.5, i is >= 24 and < 120 ? 97 : 60, i is > 24 and <= 60 ? 0.2 : 0)),
        ];

    private static ArrivedMessage Message(DateTimeOffset at, double temperature, double humidity, double rain) =>
        new(
            "station",
            Encoding.UTF8.GetBytes(
                FormattableString.Invariant(
                    $"{{\"at\":{at.ToUnixTimeSeconds()},\"Temperature\":{temperature},\"Humidity\":{humidity},\"Rain\":{rain}}}")));

    private static ArrivedMessage Answer(string payload, bool retained = false) =>
        new("sentinel/answer", Encoding.UTF8.GetBytes(payload), retained);
}
