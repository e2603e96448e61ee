using System.Collections.Concurrent;
using System.Text.Json;
using BackyardSentinel.Commands;
using BackyardSentinel.Contract;
using BackyardSentinel.Events;
using BackyardSentinel.Hosting;
using BackyardSentinel.Infection;
using Serilog.Core;

namespace BackyardSentinel.Proofs;

/// <summary>
/// A log that goes message by message through a real broker into the program gives, with the journal in the store, the
/// very windows, covers and stages that the command <c>replay</c> gives from the log and that store. The log is invented.
/// </summary>
public sealed class JournalProofTests : IDisposable
{
    private const int Hours = 80 * 24;
    private static readonly DateTimeOffset Start = new(2026, 2, 1, 0, 0, 0, TimeSpan.Zero);
    private readonly DirectoryInfo _folder = Directory.CreateTempSubdirectory("sentinel-journal-proof-");

    private readonly ConcurrentQueue<SentinelEvent> _told = [];

    private string Store => Path.Combine(_folder.FullName, "proof.db");

    public void Dispose() => _folder.Delete(recursive: true);

    [Fact]
    public async Task Live_windows_have_the_stage_and_cover_of_a_replay_with_the_journal()
    {
        var ct = TestContext.Current.CancellationToken;
        using var broker = await Mosquitto.StartAsync();
        var garden = WriteGarden(broker.Port);
        using (var journal = JournalBook.Open(Store))
        {
            journal.Add(new SprayEntry(0, "yard", "old-peach", new DateOnly(2026, 2, 3), "winter-copper", 7, null, null), Start);
            journal.Add(new StageEntry(0, "yard", "old-peach", new DateOnly(2026, 2, 12), 1), Start);
            journal.Add(new StageEntry(0, "yard", "old-peach", new DateOnly(2026, 3, 2), 9), Start);
            journal.Add(new StageEntry(0, "yard", "old-peach", new DateOnly(2026, 3, 25), 11), Start);
        }

        using var replayed = await ReplayAsync(garden);
        var windows = Windows(replayed.RootElement.GetProperty("windows").EnumerateArray()).ToList();
        var stages = replayed.RootElement.GetProperty("stages").EnumerateArray().Select(Stage).ToList();
        // The proof must have something to prove: windows at seen and computed stages, with cover and without.
        Assert.True(windows.Count >= 6, $"{windows.Count} windows");
        Assert.Subset(windows.Select(window => window.Stage).ToHashSet(), new HashSet<string> { "1", "9" });
        Assert.True(
            windows.Select(window => window.Cover).Distinct().Count() >= 2,
            string.Join(", ", windows.Select(window => window.Cover)));

        using var sensor = await Peer.ConnectAsync(broker.Port, "proof/state", "proof/yard/weather");
        using var service = Service(garden);
        await service.StartAsync(ct);
        await sensor.HearsAsync("proof/state", "watching");
        for (var hour = 0; hour < Hours; hour++)
            await sensor.PublishAsync("hub/all", Payload(hour));
        await Until.TrueAsync(
            () => service.ExecuteTask!.IsCompleted || Told<InfectionWindowClosed>().Count >= windows.Count,
            $"{windows.Count} windows closed; there are {Told<InfectionWindowClosed>().Count}");
        await service.StopAsync(ct);

        Assert.Equal(windows.Order(), Told<InfectionWindowClosed>().Select(fact => Of(fact.Window)).Order());
        Assert.Equal(stages.Order(), Told<BudStageReached>().Select(Of).Order());
        using var store = SentinelStore.Open(Store);
        Assert.Equal(
            _told.Select(fact => (fact.Key, fact.At.ToUnixTimeMilliseconds())).Order(),
            store.Events().Select(known => (known.Key, known.AtMs)).Order());
    }

    /// <summary>Twelve days a round: 30 cool wet hours with 9 mm of rain, the rest dry; the last round stays dry.</summary>
    private static (double TemperatureC, double HumidityPct, double RainMm) Weather(int hour)
    {
        var wet = hour % (12 * 24) is >= 100 and < 130 && hour < 72 * 24;
        return (7 + (0.1 * (hour % 13)), wet ? 96 : 62, wet && hour % 2 == 0 ? 0.6 : 0);
    }

    private static string Time(int hour) =>
        Start.AddHours(hour).UtcDateTime.ToString("yyyy-MM-dd'T'HH:mm:ss'Z'", CultureInfo.InvariantCulture);

    private static string Payload(int hour)
    {
        var (temperature, humidity, rain) = Weather(hour);
        return string.Create(
            CultureInfo.InvariantCulture,
            $"{{\"time\":\"{Time(hour)}\",\"temp\":{temperature},\"hum\":{humidity},\"rain\":{rain}}}");
    }

    private async Task<JsonDocument> ReplayAsync(string garden)
    {
        var log = Path.Combine(_folder.FullName, "log.csv");
        await File.WriteAllLinesAsync(log, ["time,temperature_c,humidity_pct,rain_mm", .. Enumerable.Range(0, Hours).Select(hour =>
        {
            var (temperature, humidity, rain) = Weather(hour);
            return string.Create(CultureInfo.InvariantCulture, $"{Time(hour)},{temperature},{humidity},{rain}");
        })]);
        var (exitCode, output, errors) = await ServiceProcess.RunAsync("replay", log, "--garden", garden, "--journal", Store, "--json");
        Assert.True(exitCode == 0, errors);
        return JsonDocument.Parse(output);
    }

    /// <summary>What <c>run --time-from-readings</c> hosts.</summary>
    private WatchService Service(string path)
    {
        var garden = GardenProblemException.Read(path);
        return new WatchService(
            garden,
            GardenWiring.Broker(garden, out _)!,
            TimeProvider.System,
            Logger.None,
            (_, _, fact) => _told.Enqueue(fact),
            new ServiceOptions(ClockFromReadings: true));
    }

    private List<T> Told<T>() => [.. _told.OfType<T>()];

    /// <summary>Replay rounds to four decimals, of which the last may differ by how the sums were made.</summary>
    private static IEnumerable<Window> Windows(IEnumerable<JsonElement> all) => all.Select(json => new Window(
        Text(json, "planting"), Text(json, "rule"), Text(json, "opened_at"), Text(json, "closed_at"), Text(json, "level"),
        Text(json, "stage"), Text(json, "cover"), Figure(json, "wet_hours"), Figure(json, "rain_mm"), Figure(json, "mean_temp_c")));

    private static (string Planting, string Code, string On, bool Seen) Stage(JsonElement json) => (
        Text(json, "planting"), Text(json, "code"), Text(json, "on"), Text(json, "source") == "seen");

    private static Window Of(InfectionWindow window) => new(
        window.Planting, window.Rule, MomentConverter.Text(window.OpenedAt), MomentConverter.Text(window.ClosedAt!.Value),
        window.Level.Word(), $"{window.Stage}", window.Cover?.Word() ?? "", Rounded(window.WetHours), Rounded(window.RainMm),
        Rounded(window.MeanTempC));

    private static (string Planting, string Code, string On, bool Seen) Of(BudStageReached stage) =>
        (stage.Planting, $"{stage.Code}", $"{stage.On:yyyy-MM-dd}", stage.Logged);

    private static string Text(JsonElement json, string name) => json.GetProperty(name).ToString();

    private static double? Figure(JsonElement json, string name) =>
        json.GetProperty(name) is { ValueKind: JsonValueKind.Number } number ? Rounded(number.GetDouble()) : null;

    private static double? Rounded(double? figure) => figure is { } known ? Math.Round(Math.Round(known, 4), 3) : null;

    private string WriteGarden(int port)
    {
        var path = Path.Combine(_folder.FullName, "garden.yaml");
        File.WriteAllText(path, $"""
            {ProofGarden.BrokerAndStore(port, Store)}
            sites:
              - id: yard
                step: 60m
                series:
            {string.Concat(
                new[] { ("temperature", "temp"), ("humidity", "hum"), ("rain", "rain") }.Select(one =>
                    $"      - quantity: {one.Item1}\n        topic: hub/all\n        path: {one.Item2}\n        time: time\n")
            )}
            {ProofGarden.TreeAndCopper()}
            """);
        return path;
    }

    /// <summary>What both ways say of a window.</summary>
    private readonly record struct Window(
        string Planting,
        string Rule,
        string OpenedAt,
        string ClosedAt,
        string Level,
        string Stage,
        string Cover,
        double? WetHours,
        double? RainMm,
        double? MeanTempC
    ) : IComparable<Window>
    {
        public int CompareTo(Window other) => string.CompareOrdinal(ToString(), other.ToString());
    }
}
