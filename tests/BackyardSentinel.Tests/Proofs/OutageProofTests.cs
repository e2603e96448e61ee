using System.Collections.Concurrent;
using BackyardSentinel.Commands;
using BackyardSentinel.Hosting;
using BackyardSentinel.Live;
using BackyardSentinel.Weather;
using Serilog;
using Serilog.Core;
using Serilog.Events;

namespace BackyardSentinel.Proofs;

/// <summary>
/// The service is away for a while and what its sensors say waits at a real broker. Afterwards the season is judged as if
/// it had never been away, where the sensors tell their own time; and where they do not, the gap is unknown. The weather
/// is invented; everything stands at its default.
/// </summary>
public sealed class OutageProofTests : IDisposable
{
    private static readonly TimeSpan Every = TimeSpan.FromMinutes(5);
    private static readonly string[] Quantities = ["temperature", "humidity", "rain"];
    private readonly DirectoryInfo _folder = Directory.CreateTempSubdirectory("sentinel-outage-proof-");

    private string Store => Path.Combine(_folder.FullName, "proof.db");

    public void Dispose() => _folder.Delete(recursive: true);

    [Theory]
    [InlineData(1)]
    [InlineData(14)]
    [InlineData(25)]
    [InlineData(60)]
    [InlineData(100)]
    [InlineData(240)]
    [InlineData(700)]
    [InlineData(1430)]
    public async Task What_waited_at_the_broker_with_its_own_time_is_judged_as_in_a_replay_of_the_log(int minutes)
    {
        using var broker = await Mosquitto.StartAsync();
        var garden = WriteGarden(broker.Port, ownTime: true);
        var now = await ComeBackAfterAsync(garden, minutes, ownTime: true);
        using var run = new Run(garden);

        await Agrees(garden, () => Replay(garden, Log(now), []), run);
        Assert.DoesNotContain(run.Events.Keys, key => key.Contains("level-unknown", StringComparison.Ordinal));

        // And a start from the store knows nothing that the run before did not.
        await run.StopAsync();
        using var again = new Run(garden);
        await Agrees(garden, () => Replay(garden, Log(now), []), again);
        Assert.All(again.Events.Values, at => Assert.True(at > now - Every, $"told again: {at}"));
        await again.StopAsync();
    }

    [Theory]
    [InlineData(1)]
    [InlineData(60)]
    [InlineData(240)]
    [InlineData(1430)]
    public async Task What_waited_without_a_time_counts_when_it_comes_and_the_gap_is_unknown(int minutes)
    {
        using var broker = await Mosquitto.StartAsync();
        var garden = WriteGarden(broker.Port, ownTime: false);
        var now = await ComeBackAfterAsync(garden, minutes, ownTime: false);
        using var run = new Run(garden);

        await Until.TrueAsync(() => Stored().Any(row => row.ReceivedUs / 1000 >= now.ToUnixTimeMilliseconds()), "what waited is stored");
        await Agrees(garden, () => Replay(garden, Stored(), Outages()), run);
        Assert.Equal(minutes > 15 ? 1 : 0, Outages().Count);
        Assert.Equal(minutes > 180, run.Events.Keys.Any(key => key.Contains("level-unknown", StringComparison.Ordinal)));
        await run.StopAsync();
    }

    /// <summary>Twice the promise: what the store tells and what the service has told is what the log gives.</summary>
    private async Task Agrees(GardenFile garden, Func<(SortedSet<string> Keys, string State)> expected, Run run)
    {
        var (wanted, found, state, told) = (new SortedSet<string>(), new SortedSet<string>(), "", "");
        for (var i = 0; i < 100; i++)
        {
            (wanted, state) = expected();
            using (var store = SentinelStore.Open(Store))
                found = new SortedSet<string>(store.Events().Select(row => row.Key), StringComparer.Ordinal);
            told = State(StoredSeason.Load(garden, DateTimeOffset.UtcNow, null, []).Watches["yard"]);
            if (wanted.SetEquals(found) && state == told)
                break;
            await Task.Delay(200, TestContext.Current.CancellationToken);
        }

        Assert.True(
            wanted.SetEquals(found),
            $"missing: {string.Join(", ", wanted.Except(found))}\nnot in the log: {string.Join(", ", found.Except(wanted))}\n{run.Words}");
        Assert.Equal(state, told);
        Assert.Contains(wanted, key => key.Contains("spell-started", StringComparison.Ordinal));
    }

    /// <summary>The service knows the time before, its session stands at the broker, and there what came since waits.</summary>
    private async Task<DateTimeOffset> ComeBackAfterAsync(GardenFile garden, int minutes, bool ownTime)
    {
        using (var first = new Run(garden))
        {
            await Until.TrueAsync(() => first.Words.Contains("Connected", StringComparison.Ordinal), "connected");
            await first.StopAsync();
        }

        foreach (var file in Directory.EnumerateFiles(_folder.FullName, "proof.db*"))
            File.Delete(file);
        var now = DateTimeOffset.FromUnixTimeSeconds(DateTimeOffset.UtcNow.ToUnixTimeSeconds());
        var away = now.AddMinutes(-minutes);
        using (var book = JournalBook.Open(Store))
            book.Add(
                new SprayEntry(0, "yard", "old-peach", DateOnly.FromDateTime(now.AddDays(-3).UtcDateTime), "winter-copper", 7, null, null),
                now.AddDays(-2));
        using (var store = SentinelStore.Open(Store))
        {
            var batch = new StoreBatch();
            batch.Readings.AddRange(
                Log(now)
                    .Where(row => row.TimeMs <= away.ToUnixTimeMilliseconds())
                    .Select(row => row with { Series = store.SeriesId(Name(row.Series)) }));
            store.Commit(batch);
            store.NoteListened(away);
        }

        using var sensor = await Peer.ConnectAsync(garden.Broker.Port);
        foreach (var row in Log(now).Where(row => row.TimeMs > away.ToUnixTimeMilliseconds()))
        {
            var payload = ownTime
                ? string.Create(CultureInfo.InvariantCulture, $"{{\"v\":{row.Value},\"at\":{row.TimeMs}}}")
                : string.Create(CultureInfo.InvariantCulture, $"{{\"v\":{row.Value}}}");
            await sensor.PublishAsync($"hub/{Quantities[row.Series]}", payload);
        }

        return now;
    }

    private static string Name(int quantity) => $"yard/{Quantities[quantity]}/hub/{Quantities[quantity]}#v";

    /// <summary>
    /// Three days, wet from 40 to 25 and from 11 hours to half an hour before the end. The series number is the quantity's.
    /// </summary>
    private static IEnumerable<StoredReading> Log(DateTimeOffset now)
    {
        var count = (int)(TimeSpan.FromDays(3) / Every);
        for (var i = count; i >= 0; i--)
        {
            var at = now - (i * Every);
            var hoursAgo = (now - at).TotalHours;
            var wet = hoursAgo is > 25 and < 40 or > 0.5 and < 11;
            for (var quantity = 0; quantity < 3; quantity++)
            {
                var value = quantity switch
                {
                    0 => 8 + (0.1 * (i % 9)),
                    1 => (wet ? 95 : 62) + (0.5 * (i % 5)),
                    _ => wet && i % 4 == 0 ? 0.4 : 0,
                };
                var ms = at.ToUnixTimeMilliseconds();
                yield return new StoredReading(quantity, ms, Math.Round(value, 3), ms * 1000);
            }
        }
    }

    private List<StoredReading> Stored()
    {
        using var store = SentinelStore.Open(Store);
        var numbers = Enumerable.Range(0, 3).ToDictionary(quantity => store.SeriesId(Name(quantity)));
        return
        [
            .. store.ReadSeason().Where(row => numbers.ContainsKey(row.Series)).Select(row => row with { Series = numbers[row.Series] }),
        ];
    }

    private List<DateTimeOffset> Outages()
    {
        using var store = SentinelStore.Open(Store);
        return store.Outages();
    }

    /// <summary>The log fed to a watch in the order of time and nothing else.</summary>
    private static (SortedSet<string> Keys, string State) Replay(
        GardenFile garden,
        IEnumerable<StoredReading> log,
        IReadOnlyList<DateTimeOffset> outages)
    {
        var keys = new SortedSet<string>(StringComparer.Ordinal);
        var site = garden.Sites[0];
        IReadOnlyList<JournalEntry> journal;
        using (var book = JournalBook.Open(garden.Store.Path))
            journal = JournalRow.Standing(book.Rows());
        var watch = new SiteWatch(site, fact => Assert.True(keys.Add(fact.Key), fact.Key), journal, outages);
        foreach (var row in log.OrderBy(row => row.TimeMs))
        {
            var at = DateTimeOffset.FromUnixTimeMilliseconds(row.TimeMs);
            watch.Accept(new Reading(Enum.Parse<Quantity>(Quantities[row.Series], ignoreCase: true), at, row.Value), at);
        }

        watch.AdvanceTo(DateTimeOffset.UtcNow);
        return (keys, State(watch));
    }

    private static string State(SiteWatch watch) =>
        string.Create(
            CultureInfo.InvariantCulture,
            $"{watch.LastInterval} {watch.LastWetness} {watch.RunningSpell} {watch.Risks[0].Level} {watch.Risks[0].Cover} "
                + $"{watch.Plantings[0].Cover.RainMm:0.000}");

    private GardenFile WriteGarden(int port, bool ownTime)
    {
        var path = Path.Combine(_folder.FullName, "garden.yaml");
        File.WriteAllText(path, $"""
            broker:
              port: {port}
              homie: false
            store:
              path: {Store}
            sites:
              - id: yard
                series:
            {string.Concat(
                Quantities.Select(quantity =>
                    $"      - quantity: {quantity}\n        topic: hub/{quantity}\n        path: v\n{(ownTime ? "        time: at\n" : "")}")
            )}
            {ProofGarden.TreeAndCopper("        stage: always\n")}
            """);
        return GardenProblemException.Read(path);
    }

    /// <summary>The service on the garden, in this process.</summary>
    private sealed class Run : IDisposable
    {
        private readonly CancellationTokenSource _stop = new();
        private readonly Ear _ear = new();
        private readonly Logger _log;
        private readonly Task _running;

        public Run(GardenFile garden)
        {
            _log = new LoggerConfiguration().MinimumLevel.Debug().WriteTo.Sink(_ear).CreateLogger();
            _running = SentinelHost.RunAsync(
                garden.Store.Path,
                [garden.Sites[0]],
                garden.Series,
                GardenWiring.Broker(garden, out _)!,
                new LoopOptions { CommitWindow = garden.Store.CommitWindow },
                TimeProvider.System,
                _log,
                (_, _, fact) => Events[fact.Key] = fact.At,
                _stop.Token,
                garden,
                new ServiceOptions(false));
        }

        public ConcurrentDictionary<string, DateTimeOffset> Events { get; } = [];

        public string Words => string.Join('\n', _ear.Words);

        public async Task StopAsync()
        {
            await _stop.CancelAsync();
            await _running;
        }

        public void Dispose()
        {
            _stop.Cancel();
            _running.ContinueWith(_ => { }, TaskScheduler.Default).Wait();
            _log.Dispose();
            _stop.Dispose();
        }
    }

    private sealed class Ear : ILogEventSink
    {
        public ConcurrentQueue<string> Words { get; } = [];

        public void Emit(LogEvent logEvent) => Words.Enqueue(logEvent.RenderMessage(CultureInfo.InvariantCulture));
    }
}
