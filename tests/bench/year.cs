#:property PublishAot=false
#:property TreatWarningsAsErrors=false
#:property RestorePackagesWithLockFile=false
#:project ../../src/BackyardSentinel/BackyardSentinel.csproj

// Makes the store of the invented garden in docs/examples/year anew, always the same: a year of hourly weather by a seed, and the
// journal of somebody who looked. In the checkout's top folder:  dotnet run tests/bench/year.cs
using System.Globalization;
using BackyardSentinel.Configuration;
using BackyardSentinel.Garden;
using BackyardSentinel.Storage;

CultureInfo.CurrentCulture = CultureInfo.InvariantCulture;
const string Folder = "docs/examples/year";
var garden = GardenFileReader.Read(Folder + "/garden.yaml").Garden!;
var site = garden.Sites[0].Id;
var scratch = Directory.CreateTempSubdirectory("sentinel-year-");
var path = Path.Combine(scratch.FullName, "year.db");
try
{
    using (var store = SentinelStore.Open(path))
        WriteWeather(store);
    using (var book = JournalBook.Open(path))
    {
        foreach (var entry in Journal())
            book.Add(entry, new DateTimeOffset(entry.On, new TimeOnly(18, 0), TimeSpan.Zero));
    }

    File.Delete(garden.Store.Path);
    var copy = StoreBackup.Write(path, garden.Store.Path, new DateTimeOffset(2026, 9, 1, 0, 0, 0, TimeSpan.Zero));
    if (!OperatingSystem.IsWindows())
        File.SetUnixFileMode(copy.Path!, (UnixFileMode)0b110_100_100);
    Console.WriteLine($"{copy.Path}: {copy.Bytes / 1000} kB");
}
finally
{
    scratch.Delete(true);
}

void WriteWeather(SentinelStore store)
{
    var random = new Random(1907);
    var ids = garden.SeriesOf(site).ToDictionary(one => one.Quantity, one => store.SeriesId(one.Name));
    var batch = new StoreBatch();
    DateTimeOffset begin = new(2025, 9, 1, 0, 0, 0, TimeSpan.Zero), end = new(2026, 8, 31, 22, 0, 0, TimeSpan.Zero);
    var (spellBegins, spellHours, intensity) = (begin.AddDays(3), 9.0, 0.8);
    var (air, dripping) = (0.0, 0.0);
    for (var at = begin; at <= end; at = at.AddHours(1))
    {
        if (at.Hour == 0)
            air = (0.72 * air) + ((random.NextDouble() - 0.5) * 5.2);
        if (at > spellBegins.AddHours(spellHours))
        {
            // Springs are wetter here than winters; a shower is short, a low stays for a day or two.
            var gap = at.Month is 3 or 4 or 5 or 10 or 11 ? 2 + (random.NextDouble() * 7) : 3 + (random.NextDouble() * 10);
            spellBegins = at.AddHours(gap * 24);
            spellHours = random.Next(3) == 0 ? 2 + random.Next(5) : 8 + random.Next(34);
            intensity = 0.2 + (random.NextDouble() * 1.1);
        }

        var isRaining = at >= spellBegins && at <= spellBegins.AddHours(spellHours) && random.Next(5) > 0;
        var isCloudy = at >= spellBegins.AddHours(-5) && at <= spellBegins.AddHours(spellHours + 2);
        var day = at.DayOfYear + (at.Hour / 24.0);
        var mean = 12.1 - (9.7 * Math.Cos(Math.Tau * (day - 19) / 365)) + air - (isCloudy && at.Month is > 3 and < 10 ? 4 : 0);
        var swing = isCloudy ? 1.2 : 3.2 + (2.2 * Math.Sin(Math.Tau * (day - 80) / 365));
        var temperature = mean + (swing * Math.Cos(Math.Tau * (at.Hour - 14) / 24)) + (random.NextDouble() * 0.4);
        var rain = isRaining && temperature > 0.5 ? Math.Round(intensity * random.NextDouble() * 2 / 0.2) * 0.2 : 0;
        dripping = isRaining ? 4 : dripping - 1;
        var isDewy = !isCloudy && at.Hour is >= 1 and <= 5 && random.NextDouble() < 0.35;
        var humidity = dripping > 0 ? 95 + (random.NextDouble() * 4)
            : 74 - (swing * 3.4 * Math.Cos(Math.Tau * (at.Hour - 14) / 24)) + (isDewy ? 8 : 0) + (random.NextDouble() * 5);
        // A flat battery, for a day and a half in May: nobody knows what the leaves were then.
        if (at >= new DateTimeOffset(2026, 5, 21, 4, 0, 0, TimeSpan.Zero) && at < new DateTimeOffset(2026, 5, 22, 16, 0, 0, TimeSpan.Zero))
            continue;
        Add(Quantity.Temperature, Math.Round(temperature, 1));
        Add(Quantity.Humidity, Math.Round(Math.Clamp(humidity, 25, 100)));
        Add(Quantity.Rain, Math.Round(rain, 1));
        Add(Quantity.LeafWetness, Math.Round(dripping > 0 || isDewy ? 78 + (random.NextDouble() * 20) : random.NextDouble() * 9));
        if (at.Hour != 23)
            continue;
        store.Commit(batch);
        batch.Clear();

        void Add(Quantity quantity, double value)
        {
            var ms = at.ToUnixTimeMilliseconds();
            batch.Readings.Add(new StoredReading(ids[quantity], ms, value, (ms + 2_000) * 1000));
        }
    }

    store.Commit(batch);
}

// Two winters of sprays before, for the copper ledger; then the year itself.
IEnumerable<JournalEntry> Journal()
{
    foreach (var (day, litres) in new[] { ("2023-12-02", 6.0), ("2024-02-05", 6), ("2024-12-07", 6), ("2025-02-08", 6) })
        yield return new SprayEntry(0, site, "gate-peach", Day(day), "winter-copper", litres, At: new TimeOnly(13, 30));
    string[] all = ["gate-peach", "wall-nectarine", "old-apricot"];
    foreach (var planting in all)
        yield return new LeafFallEntry(0, site, planting, Day("2025-11-16"), 90);
    yield return new SprayEntry(0, site, "old-apricot", Day("2025-11-17"), "winter-copper", 8, At: new TimeOnly(13, 0));
    yield return new ShelterEntry(0, site, "wall-nectarine", Day("2025-11-22"), IsOn: true);
    yield return new SprayEntry(0, site, "gate-peach", Day("2025-12-06"), "winter-copper", 6, At: new TimeOnly(13, 30));
    yield return new SprayEntry(0, site, "gate-peach", Day("2026-02-14"), "winter-copper", 6, At: new TimeOnly(14, 0));
    foreach (var planting in all)
        yield return new StageEntry(0, site, planting, Day("2026-02-20"), 0);
    foreach (var planting in all)
        yield return new StageEntry(0, site, planting, Day("2026-03-06"), 1);
    yield return new StageEntry(0, site, "gate-peach", Day("2026-04-05"), 9);
    yield return new StageEntry(0, site, "gate-peach", Day("2026-04-20"), 65);
    yield return new StageEntry(0, site, "gate-peach", Day("2026-04-27"), 69);
    yield return new ScoutEntry(0, site, "gate-peach", Day("2026-05-04"), 20, 3, SymptomStage.Puckered);
    yield return new ScoutEntry(0, site, "wall-nectarine", Day("2026-05-04"), 20, 0);
    yield return new ScoutEntry(0, site, "old-apricot", Day("2026-05-04"), 20, 0);
    yield return new PickEntry(0, site, "gate-peach", Day("2026-05-06"));
    yield return new ShelterEntry(0, site, "wall-nectarine", Day("2026-05-10"), IsOn: false);
    yield return new ScoutEntry(0, site, "gate-peach", Day("2026-05-23"), 20, 1, SymptomStage.Puckered);
    foreach (var planting in all)
        yield return new ScoutEntry(0, site, planting, Day("2026-06-21"), 20, 0);
}

static DateOnly Day(string day) => DateOnly.Parse(day);
