using BackyardSentinel.Alerting;
using BackyardSentinel.Infection;
using BackyardSentinel.Live;
using BackyardSentinel.Watching;
using BackyardSentinel.Weather;
using Microsoft.Data.Sqlite;

namespace BackyardSentinel.Simulation;

/// <summary>Holds what the service says and has stored to what was sent to it: the promises of docs/reliability.md.</summary>
/// <param name="garden">The garden.</param>
internal sealed class SimulatedChecks(SimulatedGarden garden)
{
    /// <summary>
    /// After so long without temperature or humidity nothing is known of a site: 90 minutes that a value holds, as many that are bridged,
    /// and some.
    /// </summary>
    private static readonly TimeSpan LongestKnown = TimeSpan.FromHours(5);

    private string Path => garden.File.Store.Path;

    /// <summary>So many times a level was looked at, and so many times it was unknown.</summary>
    public (long All, long Unknown) Levels { get; private set; }

    /// <summary>What is published is what stands. Nothing heard is nothing known.</summary>
    public void Look()
    {
        if (garden.Service is not { HasTakenAll: true } service || garden.Time.Wrong != TimeSpan.Zero)
            return;
        foreach (var (site, watch) in service.Loop.Watches)
        {
            var level = watch.Risks[0].Level;
            Levels = (Levels.All + 1, Levels.Unknown + (level == Level.Unknown ? 1 : 0));
            if (!service.IsUp || service.IsCatchingUp)
                continue;
            var (now, heard) = (garden.Time.Truth, garden.LastHeard(site));
            if (now - heard > LongestKnown)
                Assert.True(level == Level.Unknown, $"{now:u}: {site} has heard nothing since {heard:u} and is {level}");
            if (garden.Broker.Retained.TryGetValue($"sentinel/{site}/{site}-peach/risk", out var risk))
                Assert.True(
                    risk.Contains($"\"level\":\"{level.ToString().ToLowerInvariant()}\"", StringComparison.Ordinal),
                    $"{now:u}: {site} stands at {level}, and published is {risk}");
        }
    }

    /// <summary>What was acknowledged is there, once, and nothing else.</summary>
    /// <param name="brokerKeptNumbers">
    /// The broker has not gone back to an older numbering, by which alone equal values without a time can be told apart.
    /// </param>
    public void Readings(bool brokerKeptNumbers = true)
    {
        Assert.Empty(StoreBackup.Check(Path).Faults);
        using var store = SentinelStore.Reading(Path);
        var names = store.SeriesNames;
        var stored = store.ReadSeason().Select(row => (Series: names[row.Series], row.TimeMs, row.Value)).ToList();
        stored.AddRange(Aside().Select(row => (names[row.Series], row.TimeMs, row.Value)));
        var bySeries = stored.ToLookup(row => row.Series, StringComparer.Ordinal);
        foreach (var device in garden.Devices)
        {
            var found = bySeries[garden.File.Series.Single(one => one.Topic == device.Topic).Name].ToList();
            var all = garden.Sent.Where(message => message.Device == device).ToList();
            var safe = all.Where(message => message is { IsAcknowledged: true, Value: not null, MayBeRefused: false }).ToList();
            if (device.TellsTime)
                ReadingsWithTimes(device, all, safe, [.. found.Select(row => (row.TimeMs, row.Value))]);
            else if (brokerKeptNumbers)
                PlainReadings(device, all, [.. found.Select(row => row.Value)]);
            else
                Assert.Equal([], found.Select(row => row.Value).Except(all.Select(message => message.Value ?? 0)));
        }

        var nonsense = garden.Sent.Count(message => message is { Value: null, IsAcknowledged: true });
        Assert.True(store.Quarantine().Sum(row => row.Count) >= nonsense, "nonsense that was not kept aside");
    }

    /// <summary>
    /// The stored season, judged from empty, gives what stands; what it tells of was told, and what it would send was sent.
    /// </summary>
    public void Judgement()
    {
        var now = garden.Service!.Now;
        var season = StoredSeason.Load(garden.File, now, null, []);
        foreach (var (site, watch) in garden.Service.Loop.Watches)
            Assert.Equal($"{site} {State(season.Watches[site])}", $"{site} {State(watch)}");

        using var store = SentinelStore.Reading(Path);
        var events = store.Events().Select(one => one.Key).ToHashSet();
        var alerts = store.AlertIds();
        var series = SeriesMaps.InStore(store, garden.File.Series);
        var again = new SeasonFeed(
            garden.File.Sites,
            fact => Assert.True(events.Contains(fact.Key), $"{fact.Key} is not stored"),
            [],
            store.Outages(),
            new AlertDesk(
                new AlertPolicyOptions(),
                // Stamps of a wrong clock are set right, and with them since when a sensor has been silent.
                decision => Assert.True(
                    garden.Time.HasBeenWrong || decision is not Send send || send.Alert.Untold(alerts) is null,
                    $"not told: {decision}")),
            series.Values.GroupBy(map => map.SiteId).ToDictionary(
                site => site.Key,
                IReadOnlyDictionary<string, Quantity> (site) => site.ToDictionary(map => map.Name, map => map.Quantity)),
            garden.SeasonStart,
            events.Contains,
            onInterval: garden.Time.HasBeenWrong ? null : GapIsGap);
        again.Feed(SeriesMaps.Season(store, series, garden.SeasonStart));
        again.AdvanceTo(new DateTimeOffset(now.UtcTicks - (now.UtcTicks % TimeSpan.TicksPerMinute), TimeSpan.Zero));
    }

    /// <summary>
    /// No temperature is known where none was told for as long as one holds, nor beyond the grace of a time in which nothing could be
    /// heard.
    /// </summary>
    private void GapIsGap(SiteWatch watch)
    {
        if (watch.LastInterval is not { TemperatureCoverage: > 0 } interval)
            return;
        // When a time is refused the reading counts when it came, and when it is not, at its own.
        var (told, safe) = garden.Sent
            .Where(message => message.Device.Site == watch.Site.Id && message.Device.Quantity == Quantity.Temperature)
            .Where(message => message is { Came.Count: > 0, Value: not null })
            .SelectMany(message => message.TimeMs is { } ms
                ? message.Came.Where(_ => message.MayBeRefused).Append(DateTimeOffset.FromUnixTimeMilliseconds(ms))
                : message.Came, (message, told) => (Told: told, Safe: message.Safe.FirstOrDefault(DateTimeOffset.MaxValue)))
            .Where(one => one.Told < interval.End)
            .DefaultIfEmpty()
            .Max();
        // What came at one moment stands some milliseconds apart.
        var begin = interval.Start.AddSeconds(-1);
        Assert.True(told + watch.Site.Hold > begin, $"{watch.Site.Id}: {interval} has a temperature, the last told was at {told:o}");
        foreach (var (from, to) in garden.Deaf)
        {
            // What waited at the broker was told in the gap, and stands as if there had been none.
            var isGap = to - from > Outages.Grace + TimeSpan.FromMinutes(1) && told <= from && safe <= from;
            if (isGap && begin >= from + Outages.Grace)
                Assert.Fail($"{watch.Site.Id}: {interval} has a temperature, and nothing was heard from {from:o} to {to:o}");
        }
    }

    /// <summary>A start tells nothing that was told before.</summary>
    public async Task RestartAsync()
    {
        var (events, alerts) = (Events(), Alerts());
        await garden.StopAsync();
        garden.Start();
        garden.Settle();
        Assert.Equal(events, Events());
        // Stamps of a wrong clock are set right, and with them since when a sensor has been silent and what a phone has had lately.
        Assert.Equal([], Alerts().Except(alerts).Where(_ => !garden.Time.HasBeenWrong));
        Assert.Equal([], alerts.Except(Alerts()));
        Assert.Equal(Alerts().Select(row => row.Id).Distinct().Count(), Alerts().Count);
        Assert.Equal(garden.Alerted.Distinct().Count(), garden.Alerted.Count);
    }

    /// <summary>Each message ends: taken, replaced, or told of; the phone has it once, again only where the service ended then.</summary>
    /// <param name="endsSending">So often it ended before it could write down that a message had gone out.</param>
    public void Messages(int endsSending)
    {
        var got = garden.Phone!.Got.GroupBy(id => id).ToDictionary(group => group.Key, group => group.Count());
        var rows = Alerts();
        var worked = rows.Where(row => row.State == OutboxState.Delivered).Select(row => (long?)row.NextMs).Max();
        foreach (var row in rows)
        {
            Assert.True(row.State != OutboxState.Delivered || got.ContainsKey(row.Id), $"{row.Id} is delivered, and the phone has it not");
            // Its next attempt may have been set by a clock that was ahead.
            var mayWait = garden.Time.HasBeenWrong && row.NextMs > garden.Time.GetUtcNow().ToUnixTimeMilliseconds();
            Assert.True(mayWait || row.State is not (OutboxState.Waiting or OutboxState.Expired), $"{row.Id} is {row.State} still");
            Assert.True(row.State != OutboxState.Rejected || !(worked > row.NextMs), $"{row.Id} was refused, and nobody was told");
        }

        var twice = garden.Phone.Got.Count - got.Count;
        Assert.True(twice <= endsSending, $"{twice} messages came twice, and {endsSending} ends could be the cause");
        Assert.Equal([], got.Keys.Except(rows.Select(row => row.Id)));
    }

    /// <summary>All that is stored and published, line by line.</summary>
    public List<string> Record() =>
    [
        .. SampleStore.Dump(Path).Order(StringComparer.Ordinal),
        .. garden.Broker.Retained.OrderBy(one => one.Key, StringComparer.Ordinal).Select(one => $"{one.Key} {one.Value}"),
        .. garden.Phone?.Got ?? [],
    ];

    private static void ReadingsWithTimes(
        SimulatedDevice device,
        List<SimulatedMessage> all,
        List<SimulatedMessage> safe,
        List<(long TimeMs, double Value)> found)
    {
        // A moment that a wrong clock had shown before has a reading that was set aside, and one that was not.
        var times = found.Select(row => row.TimeMs).ToHashSet();
        var sent = all.Where(message => message.TimeMs is not null).ToLookup(message => message.TimeMs!.Value, message => message.Value);
        foreach (var message in safe.Where(message => !message.CameWithClockWrong))
            Assert.True(times.Contains(message.TimeMs!.Value), $"{device.Topic}: {message.Payload} was acknowledged, and is lost");
        // A time that cannot be is none: such a reading counts when it came.
        var whenever = all
            .Where(message => message.MayBeRefused || message.CameWithClockWrong)
            .Select(message => message.Value)
            .ToHashSet();
        foreach (var (ms, value) in found)
            Assert.True(
                sent[ms].Contains(value) || whenever.Contains(value),
                $"{device.Topic}: {value} at {DateTimeOffset.FromUnixTimeMilliseconds(ms):u} was never sent");
    }

    /// <summary>Each value as often as it was acknowledged, or came and was made safe without a word.</summary>
    private static void PlainReadings(SimulatedDevice device, List<SimulatedMessage> all, List<double> stored)
    {
        var sound = all.Where(message => message is { Value: not null, MayBeRefused: false });
        foreach (var alike in sound.GroupBy(message => message.Value!.Value))
        {
            var (least, most) = (alike.Count(message => message.IsAcknowledged), alike.Count(message => message.Came.Count > 0));
            var found = stored.Count(value => value == alike.Key);
            Assert.True(
                found >= least && found <= most,
                $"{device.Topic}: {alike.Key} came {most} times, {least} were acknowledged, {found} are there");
        }

        Assert.Equal([], stored.Except(all.Select(message => message.Value ?? 0)));
    }

    private List<(int Series, long TimeMs, double Value)> Aside()
    {
        using var connection = new SqliteConnection($"Data Source={Path};Pooling=False;Mode=ReadOnly");
        connection.Open();
        using var command = connection.CreateCommand();
        command.CommandText = "select series, time_ms, value from readings_aside";
        using var row = command.ExecuteReader();
        List<(int, long, double)> rows = [];
        while (row.Read())
            rows.Add((row.GetInt32(0), row.GetInt64(1), row.GetDouble(2)));
        return rows;
    }

    private List<StoredEvent> Events()
    {
        using var store = SentinelStore.Reading(Path);
        return [.. store.Events()];
    }

    private List<OutboxRow> Alerts()
    {
        using var outbox = OutboxStore.Reading(Path);
        return [.. outbox.Rows()];
    }

    private static string State(SiteWatch watch) =>
        string.Create(
            CultureInfo.InvariantCulture,
            $"{watch.LastInterval} {watch.LastWetness} {watch.RunningSpell} {watch.Risks[0].Level} {watch.Risks[0].Cover}");
}
