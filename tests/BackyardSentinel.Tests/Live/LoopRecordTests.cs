using System.Collections.Concurrent;
using BackyardSentinel.Alerting;
using BackyardSentinel.Delivery;
using BackyardSentinel.Forecasts;
using BackyardSentinel.Weather;

namespace BackyardSentinel.Live;

/// <summary>
/// A wet day through the loop, put down in tests/scenarios/loop: with broken messages, repeats, a forecast, answers, a lost link,
/// late readings, a look at the buds and a restart; what is said, published, stored and sent of each. Where a change is meant,
/// <c>BACKYARD_SENTINEL_WRITE=1</c> writes it anew, and its difference is what changed.
/// </summary>
public sealed class LoopRecordTests : LoopBench
{
    /// <summary>A few wet hours are enough, and one dry one ends them: the loop turns each second.</summary>
    private static readonly Site Quick = Yard with
    {
        Rules = [new WetHoursLimits(minWetHours: 2.5), new RainDayLimits(), new TwoDayLimits()],
        Spell = new WetSpellLimits(longestGapHours: 1),
    };

    private readonly SemaphoreSlim _turned = new(0);
    private readonly StringBuilder _text = new();
    private readonly ConcurrentQueue<string> _told = new();
    private readonly HashSet<string> _known = [];
    private readonly Dictionary<string, string> _shown = new(StringComparer.Ordinal);
    private bool _isUp = true;
    private DateTimeOffset _started;
    private int _lines, _rainMm, _turns, _awaited, _offered;

    [Fact]
    public async Task A_wet_day_is_as_it_was_put_down()
    {
        using (var store = SentinelStore.Open(File))
            await DayAsync(store);
        using (var store = SentinelStore.Open(File))
            await RunAsync(store, loop => NoteAsync(loop, store, "started again"));
        var path = BackyardSentinel.Tests.Checkout.Path("tests", "scenarios", "loop", "day.txt");
        var told = _text.ToString().ReplaceLineEndings("\n");
        if (Environment.GetEnvironmentVariable("BACKYARD_SENTINEL_WRITE") == "1")
            await System.IO.File.WriteAllTextAsync(path, told, Ct);
        Assert.Equal((await System.IO.File.ReadAllTextAsync(path, Ct)).ReplaceLineEndings("\n"), told);
    }

    private Task DayAsync(SentinelStore store) => RunAsync(store, async loop =>
    {
        await NoteAsync(loop, store, "started");
        await MeasureAsync(loop, 60, 97, 0.4);
        await NoteAsync(loop, store, "a wet hour");
        await SayAsync(loop, ("t", "{broken"), ("t", """{"v":77}"""), ("h", "8100"), ("h", "unavailable"), ("h", "98"), ("x", "1"));
        await NoteAsync(loop, store, "broken messages");
        await OfferAsync(loop, new ArrivedMessage("h", "97"u8.ToArray(), retained: true));
        for (var i = 0; i < 2; i++)
        {
            await OfferAsync(
                loop, new ArrivedMessage("h", "96"u8.ToArray(), redelivered: i > 0, delivery: new BrokerDelivery(1, true, 7, i > 0)));
            await TurnedAsync(loop);
            await PassAsync(loop, TimeSpan.FromSeconds(1));
        }

        await PassAsync(loop, TimeSpan.FromSeconds(1), TimeSpan.FromSeconds(1));
        await NoteAsync(loop, store, "retained and repeated");
        var forecast = new Forecast("invented", Time.GetUtcNow(), [new ForecastHour(Time.Start.AddHours(4).AddSeconds(-30), 8, 95, 1.5)]);
        await SayAsync(loop, ("ahead", Encoding.UTF8.GetString(ForecastJson.Write(forecast))), ("ahead", "<html>busy</html>"));
        await NoteAsync(loop, store, "forecasts");
        await MeasureAsync(loop, 120, 97, 0.4);
        await NoteAsync(loop, store, "two wet hours more");
        await SayAsync(
            loop, ("answer", $$"""{"episode":"{{store.AlertIds().Order(StringComparer.Ordinal).FirstOrDefault()}}","kind":"seen"}"""),
            ("answer", """{"episode":"nobody","kind":"later","for":"6h"}"""), ("answer", "yes"));
        await NoteAsync(loop, store, "answers");
        _isUp = false;
        await PassAsync(loop, TimeSpan.FromSeconds(1), TimeSpan.FromMinutes(15), TimeSpan.FromSeconds(1), TimeSpan.FromSeconds(1));
        await NoteAsync(loop, store, "the link is down");
        await PassAsync(loop, TimeSpan.FromMinutes(24));
        _isUp = true;
        await SayAsync(loop, ("t", Warm(9, -20)), ("t", """{"v":99}"""), ("h", "97"));
        await NoteAsync(loop, store, "the link is up");
        await PassAsync(loop, TimeSpan.FromSeconds(1), TimeSpan.FromSeconds(1));
        await NoteAsync(loop, store, "what waited has come");
        await MeasureAsync(loop, 20, 60, 0);
        await SayAsync(loop, ("t", Warm(7, -15)));
        await PassAsync(loop, TimeSpan.FromSeconds(2), TimeSpan.FromSeconds(1), TimeSpan.FromSeconds(1));
        await NoteAsync(loop, store, "a late reading");
        using (var grower = JournalBook.Beside(File))
            grower.Add(new StageEntry(0, "yard", "old-peach", new DateOnly(2027, 2, 27), 9), Time.GetUtcNow());
        await PassAsync(loop, TimeSpan.FromSeconds(1), TimeSpan.FromSeconds(1));
        await NoteAsync(loop, store, "a look at the buds");
        await MeasureAsync(loop, 80, 60, 0);
        await NoteAsync(loop, store, "dry hours");
    });

    private async Task RunAsync(SentinelStore store, Func<SentinelLoop, Task> day)
    {
        var words = AlertWords.English();
        using var journal = JournalBook.Open(File);
        using var answers = AnswerBook.Open(File);
        var loop = new SentinelLoop(
            store, new Sensors.PayloadMap(Series), [Quick],
            message => Published[message.Topic] = Encoding.UTF8.GetString(message.Payload.Span),
            new LoopOptions(), Time, Said.Logger, (site, watch, fact) => _told.Enqueue($"event {site} {fact.Key}"), new LoopParts
            {
                Journal = journal,
                Answers = answers,
                KeepAlmanac = true,
                Outbox = new AlertOutbox(
                    [new ReceiverSettings { Id = "phone" }],
                    alert => words.Say(alert, _ => TimeZoneInfo.Utc).For(alert),
                    () => _told.Enqueue("the sender is woken"),
                    message => _told.Enqueue($"alert {message.Id}: {message.Title}")),
                ForecastTopic = ("ahead", null),
                AnswerTopic = "answer",
                IsListening = () =>
                {
                    // Each turn asks once.
                    if (Interlocked.Increment(ref _turns) >= Volatile.Read(ref _awaited))
                        _turned.Release();
                    return _isUp;
                },
                LookAhead = ahead =>
                {
                    _told.Enqueue($"ahead at {ahead.Now:HH:mm}, {ahead.Journal.Count} entries, {ahead.Forecast?.Hours.Count} hours");
                    return [];
                },
                LookAround = now => now is { Hour: 7, Minute: 30 } ? [new DiskLow(now, 90)] : [],
                OnTroubles = troubles =>
                {
                    foreach (var trouble in troubles)
                        _told.Enqueue($"trouble {trouble.Kind}");
                },
                OnMessage = (message, at) =>
                {
                    if (message.Topic == "x")
                        _told.Enqueue($"message {message.Topic} at {at:HH:mm:ss}");
                },
            });
        using var stop = new CancellationTokenSource();
        (_started, _turns, _offered) = (Time.GetUtcNow(), 0, 0);
        var running = loop.RunAsync(stop.Token);
        await TurnedAsync(loop);
        await PassAsync(loop, TimeSpan.FromSeconds(1), TimeSpan.FromSeconds(1));
        await day(loop);
        await stop.CancelAsync();
        await running;
    }

    /// <summary>Lets time pass, a minute at once at the most, and waits until the loop has turned at each time.</summary>
    private async Task PassAsync(SentinelLoop loop, params TimeSpan[] spans)
    {
        foreach (var span in spans)
        {
            for (var left = span; left > TimeSpan.Zero; left -= TimeSpan.FromMinutes(1))
            {
                Time.Advance(left < TimeSpan.FromMinutes(1) ? left : TimeSpan.FromMinutes(1));
                await TurnedAsync(loop);
            }
        }
    }

    /// <summary>Waits until the loop is through with all that was offered and with each second's wake.</summary>
    private async Task TurnedAsync(SentinelLoop loop)
    {
        Volatile.Write(ref _awaited, 1 + _offered + (int)(Time.GetUtcNow() - _started).TotalSeconds);
        while (Volatile.Read(ref _turns) < _awaited)
            await _turned.WaitAsync(Ct);
        // What the last turn raised is committed before the next one begins.
        _offered++;
        await loop.AskAsync(_ => 0, Ct);
    }

    private async Task OfferAsync(SentinelLoop loop, ArrivedMessage message)
    {
        _offered++;
        await loop.OfferAsync(message, Ct);
    }

    private async Task SayAsync(SentinelLoop loop, params (string Topic, string Payload)[] messages)
    {
        foreach (var (topic, payload) in messages)
            await OfferAsync(loop, Message(topic, payload));
        await TurnedAsync(loop);
        await PassAsync(loop, TimeSpan.FromSeconds(1));
    }

    private async Task MeasureAsync(SentinelLoop loop, int minutes, double humidity, double rainMm)
    {
        for (var i = 0; i < minutes / 10; i++)
        {
            _rainMm += (int)(10 * rainMm);
            await SayAsync(
                loop, ("t", """{"v":9.5}"""), ("h", humidity.ToString(CultureInfo.InvariantCulture)),
                ("r", (_rainMm / 10.0).ToString(CultureInfo.InvariantCulture)));
            await PassAsync(loop, TimeSpan.FromMinutes(10) - TimeSpan.FromSeconds(1));
        }
    }

    private string Warm(int tempC, int minutes) =>
        $$"""{"v":{{tempC}},"at":"{{Time.GetUtcNow().AddMinutes(minutes):yyyy-MM-ddTHH:mm:ssZ}}"}""";

    /// <summary>Puts down what has come of it since the last time.</summary>
    private async Task NoteAsync(SentinelLoop loop, SentinelStore store, string what)
    {
        _offered++;
        var now = await loop.AskAsync(
            one => $"{one.Troubles.Count} troubles, {one.Journal.Count} entries, forecast {one.Forecast?.Issued:HH:mm}", Ct);
        Line(string.Create(
            CultureInfo.InvariantCulture, $"{Time.GetUtcNow():HH:mm:ss} {what}: {(loop.IsWell ? "well" : "not well")}, {now}, "
                + $"{store.ReadSeason().Count()} readings, {Acknowledged.Count} acknowledged"));
        foreach (var line in Said.Lines.Skip(_lines))
            Line($"  said {line}");
        _lines = Said.Lines.Count;
        while (_told.TryDequeue(out var told))
            Line($"  {told}");
        foreach (var (topic, payload) in Published.OrderBy(one => one.Key, StringComparer.Ordinal))
        {
            if (_shown.GetValueOrDefault(topic) != payload)
                Line($"  {topic} {payload}");
            _shown[topic] = payload;
        }

        using var outbox = OutboxStore.Open(File);
        foreach (var aside in store.Quarantine())
            Once($"  aside {aside.Topic} {aside.Count} times: {aside.Reason.Text}");
        foreach (var since in store.Outages())
            Once($"  outage since {since:HH:mm:ss}");
        foreach (var row in outbox.Rows())
            Once($"  row {row.Id} for {row.Receiver}: {row.State} {row.LastAnswer}");
    }

    private void Once(string line)
    {
        if (_known.Add(line))
            Line(line);
    }

    private void Line(string line) => _text.Append(line).Append('\n');
}
