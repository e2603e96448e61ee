using System.Text.Json;
using BackyardSentinel.Commands;

namespace BackyardSentinel.Proofs;

/// <summary>
/// An invented garden in Tannery Lane whose store holds the last three days: dry, then fifty wet hours at 6 °C, then dry
/// again. The program that is started on it finds alerts that are due and not yet past their use.
/// </summary>
internal sealed class WetGarden : IDisposable
{
    private static readonly TimeSpan Step = TimeSpan.FromMinutes(10);
    private readonly DirectoryInfo _folder = Directory.CreateTempSubdirectory("sentinel-alert-proof-");

    /// <summary>Writes the garden file.</summary>
    /// <param name="brokerPort">The broker.</param>
    /// <param name="plantings">The plantings' ids.</param>
    /// <param name="receivers">The lines of the receivers, without indentation; none: no alerts go out.</param>
    /// <param name="stage">The plantings' stage.</param>
    /// <param name="apart">Each planting has a site of its own, and so messages of its own.</param>
    public WetGarden(int brokerPort, IEnumerable<string> plantings, string receivers, string stage = "always", bool apart = false)
    {
        var sites = apart
            ? plantings.Select(id => (Id: $"{id}-bed", Plantings: new[] { id }))
            : [(Id: "south-wall", Plantings: plantings.ToArray())];
        File.WriteAllText(In("signing-key"), Secret + "\n");
        File.WriteAllText(GardenPath, $"""
            name: Tannery Lane
            broker:
              port: {brokerPort}
            store:
              path: {Store}
              commit_window: 1s
            sites:
            {string.Concat(sites.Select(site => $"""
              - id: {site.Id}
                series:
            {string.Concat(new[] { "temperature", "humidity", "rain" }.Select(quantity => "      - quantity: "
                + $"{quantity}\n        topic: hub/{quantity}\n"))}
                plantings:
            {string.Concat(site.Plantings.Select(id => $"      - id: {id}\n        kind: peach\n        stage: {stage}\n"))}
            """))}
            alerts:
              max_per_day: 50
              send_to:
            {Indented(receivers.Replace("SIGNING-KEY", In("signing-key"), StringComparison.Ordinal))}
            """);
    }

    /// <summary>The key with which webhooks are signed, an invented one.</summary>
    public static string Secret => "whsec_" + Convert.ToBase64String(Key);

    /// <summary>Its bytes.</summary>
    public static byte[] Key { get; } = [.. Enumerable.Range(7, 32).Select(number => (byte)number)];

    public string GardenPath => In("garden.yaml");

    public string Store => In("garden.db");

    /// <summary>A webhook on this computer, signed.</summary>
    public static string Webhook(Uri url) =>
        $"- id: phone\n  kind: webhook\n  url: {url}\n  allow_private: true\n  useful_for: 72h\n  secret: file:SIGNING-KEY\n";

    /// <summary>Writes the three days into the store, each reading stamped as if it had come at its own time.</summary>
    /// <param name="now">The end of the three days.</param>
    /// <param name="wetHours">How long it is wet; the wet time ends 8 h ago, or now.</param>
    /// <param name="untilNow">It is wet still.</param>
    public void Seed(DateTimeOffset now, double wetHours = 50, bool untilNow = false)
    {
        var garden = GardenProblemException.Read(GardenPath);
        using var store = SentinelStore.Open(Store);
        var batch = new StoreBatch();
        var end = new DateTimeOffset(now.UtcTicks - (now.UtcTicks % Step.Ticks), TimeSpan.Zero);
        var wetEnd = untilNow ? end : end.AddHours(-8);
        var series = garden.Series;
        var count = 0;
        for (var at = end.AddHours(-66); at <= end; at += Step, count++)
        {
            var wet = at > wetEnd.AddHours(-wetHours) && at <= wetEnd;
            for (var i = 0; i < series.Count; i++)
            {
                var value = series[i].Quantity switch
                {
                    Quantity.Temperature => 6 + (0.1 * (count % 7)),
                    Quantity.Humidity => (wet ? 96 : 60) + (0.5 * (count % 5)),
                    _ => wet && count % 6 == 0 ? 0.4 : 0,
                };
                var ms = at.ToUnixTimeMilliseconds();
                batch.Readings.Add(new StoredReading(store.SeriesId(series[i].Name), ms, value, (ms * 1000) + i));
            }
        }

        store.Commit(batch);
    }

    public IReadOnlyList<OutboxRow> Outbox()
    {
        using var outbox = OutboxStore.Open(Store);
        return outbox.Rows();
    }

    public ServiceProcess Run() => ServiceProcess.Start("run", "--garden", GardenPath);

    /// <summary>What <c>alert list --json</c> prints.</summary>
    public async Task<JsonElement[]> AlertsAsync()
    {
        var (_, output, _) = await ServiceProcess.RunAsync("alert", "list", "--json", "--garden", GardenPath);
        return [.. JsonDocument.Parse(output).RootElement.GetProperty("alerts").EnumerateArray()];
    }

    public void Dispose() => _folder.Delete(recursive: true);

    public string In(string name) => Path.Combine(_folder.FullName, name);

    private static string Indented(string lines) =>
        string.Concat(
            lines
                .Split('\n', StringSplitOptions.RemoveEmptyEntries)
                .Select(line => string.Create(CultureInfo.InvariantCulture, $"    {line}\n")));
}
