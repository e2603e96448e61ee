using BackyardSentinel.Logs;
using BackyardSentinel.Tests;
using BackyardSentinel.Weather;
using Microsoft.Data.Sqlite;

namespace BackyardSentinel.Proofs;

/// <summary>
/// The promise the whole house stands on: a real log published message by message through a real broker gives the very
/// events that the log itself gives, also when the program is killed in the middle. A rule whose limits change in spring gives the level.
/// The log: hourly weather of Portland, Oregon, 2014 (NOAA ASOS by way of the data package pnwflights14, CC0).
/// </summary>
public sealed class LiveEqualsReplayTests : IDisposable
{
    private const string Topic = "hub/all";
    private readonly DirectoryInfo _folder = Directory.CreateTempSubdirectory("sentinel-proof-");

    [Theory]
    [InlineData(false)]
    [InlineData(true)]
    public async Task A_log_through_a_real_broker_gives_the_events_of_its_replay(bool killedInTheMiddle)
    {
        var path = OutsideData.Weather("pnw14_pdx.csv");
        Assert.NotNull(path);
        var ct = TestContext.Current.CancellationToken;
        var rows = ReadAll(path);
        var expected = EventsOf(rows);
        using var broker = await Mosquitto.StartAsync();
        var garden = WriteGarden(broker.Port);
        using var sensor = await Peer.ConnectAsync(broker.Port, "proof/state", "proof/site/weather");

        var service = ServiceProcess.Start("run", "--garden", garden, "--time-from-readings");
        try
        {
            await sensor.HearsAsync("proof/state", "watching");
            for (var i = 0; i < rows.Count; i++)
            {
                if (killedInTheMiddle && i == rows.Count / 2)
                {
                    service.KillAtOnce();
                    service.Dispose();
                    // What the sensors say meanwhile waits at the broker.
                    for (var end = i + 100; i < end; i++)
                        await sensor.PublishAsync(Topic, Payload(rows[i]));
                    service = ServiceProcess.Start("run", "--garden", garden, "--time-from-readings");
                }

                await sensor.PublishAsync(Topic, Payload(rows[i]));
            }

            await Until.TrueAsync(
                () => Stored().Count >= expected.Count,
                $"{expected.Count} events stored; there are {Stored().Count}\n{service.Errors}");
            var exitCode = await service.TerminateAsync(ct);
            Assert.Equal(0, exitCode);
        }
        finally
        {
            service.Dispose();
        }

        Assert.Empty(expected.Except(Stored()));
        Assert.Empty(Stored().Except(expected));
        Assert.True(expected.Count > 500, "the log must have something to prove");
    }

    public void Dispose() => _folder.Delete(recursive: true);

    private static List<LogRow> ReadAll(string path)
    {
        using var log = new LogReader([path], new LogOptions(), _ => { });
        var rows = new List<LogRow>();
        while (log.Read(out _))
            rows.Add(log.Current);
        return rows;
    }

    /// <summary>The keys that the pipeline gives from the log, without the end of the log that live running does not know.</summary>
    private static SortedSet<string> EventsOf(List<LogRow> rows)
    {
        var keys = new SortedSet<string>(StringComparer.Ordinal);
        var site = new Site
        {
            Id = "site",
            Step = TimeSpan.FromMinutes(60),
            Plantings = [new Planting("peach") { Follows = Garden.StageNeeds.Default }],
            Variants =
            [
                new(
                    "our-wall",
                    RuleName.WetHours,
                    [new(new(2014, 3, 20), new WetHoursLimits(minWetHours: 8)), new(new(2014, 4, 20), new WetHoursLimits(minRainMm: 1))]),
            ],
            LevelRule = "our-wall",
        };
        var watch = new SiteWatch(site, fact => Assert.True(keys.Add(fact.Key), $"twice: {fact.Key}"));
        foreach (var row in rows)
        {
            foreach (var quantity in new[] { Quantity.Temperature, Quantity.Humidity, Quantity.Rain })
            {
                if (row[quantity] is { } value)
                    watch.Accept(new Reading(quantity, row.Time, value), row.Time);
            }
        }

        return keys;
    }

    private static string Payload(in LogRow row)
    {
        var fields = new List<string>
        {
            $"\"time\":\"{row.Time.UtcDateTime.ToString("yyyy-MM-dd'T'HH:mm:ss'Z'", CultureInfo.InvariantCulture)}\"",
        };
        Add(fields, "temp", row[Quantity.Temperature]);
        Add(fields, "hum", row[Quantity.Humidity]);
        Add(fields, "rain", row[Quantity.Rain]);
        return $"{{{string.Join(',', fields)}}}";
    }

    private static void Add(List<string> fields, string name, double? value)
    {
        if (value is { } v)
            fields.Add(string.Create(CultureInfo.InvariantCulture, $"\"{name}\":{v}"));
    }

    private string WriteGarden(int port)
    {
        var path = Path.Combine(_folder.FullName, "garden.yaml");
        File.WriteAllText(path, $"""
            {ProofGarden.BrokerAndStore(port, Store)}
            rules:
              - name: our-wall
                variant_of: wet-hours
                from: 2014-03-20
                wet_hours: 8
              - name: our-wall
                variant_of: wet-hours
                from: 2014-04-20
                rain: 1 mm
            sites:
              - id: site
                step: 60m
                level_rule: our-wall
                series:
                  - quantity: temperature
                    topic: {Topic}
                    path: temp
                    time: time
                  - quantity: humidity
                    topic: {Topic}
                    path: hum
                    time: time
                  - quantity: rain
                    topic: {Topic}
                    path: rain
                    time: time
                plantings:
                  - id: peach
                    kind: peach
            """);
        return path;
    }

    private string Store => Path.Combine(_folder.FullName, "proof.db");

    private SortedSet<string> Stored()
    {
        using var db = new SqliteConnection($"Data Source={Store};Mode=ReadOnly;Pooling=False");
        db.Open();
        using var query = db.CreateCommand();
        query.CommandText = "select key from events";
        using var rows = query.ExecuteReader();
        var keys = new SortedSet<string>(StringComparer.Ordinal);
        while (rows.Read())
            keys.Add(rows.GetString(0));
        return keys;
    }
}
