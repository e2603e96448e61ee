#:property PublishAot=false
#:property TreatWarningsAsErrors=false
#:property RestorePackagesWithLockFile=false
#:project ../../src/BackyardSentinel/BackyardSentinel.csproj

// Measures what a season stored costs: the file, explain and plan, the start of run and its page. Build first, then, in the
// checkout's top folder:
//   dotnet run tests/bench/season.cs -- [PROGRAM [YEARS [SITES]]]
// PROGRAM is that of the Release build unless another is named. A site is temperature, humidity, leaf wetness, rain and wind, each
// once in five minutes in the decimals that sensors send; half of the devices tell a time of their own, up to ten seconds before
// the arrival.
using System.Diagnostics;
using System.Globalization;
using BackyardSentinel.Storage;

CultureInfo.CurrentCulture = CultureInfo.InvariantCulture;
var program = Path.GetFullPath(args.ElementAtOrDefault(0) ?? "artifacts/bin/BackyardSentinel/release/backyard-sentinel");
var (years, sites) = (int.Parse(args.ElementAtOrDefault(1) ?? "1"), int.Parse(args.ElementAtOrDefault(2) ?? "4"));
const int Broker = 18997, Page = 18996;
(string Quantity, string Path, double Low, double High, double Step, int Decimals)[] kinds =
[
    ("temperature", "t", -5, 35, 0.5, 2), ("humidity", "h", 30, 99, 2, 1), ("leaf-wetness", "l", 0, 15, 1, 0), ("rain", "r", 0, 0, 0, 1),
    ("wind-speed", "w", 0, 10, 1, 1),
];
var folder = Directory.CreateTempSubdirectory("sentinel-bench-");
try
{
    var (garden, db) = (Path.Combine(folder.FullName, "garden.yaml"), Path.Combine(folder.FullName, "bench.db"));
    WriteGarden(garden, db);
    WriteSeason(db);
    Console.WriteLine(
        $"{years * sites * 5L * 365 * 288:#,0} readings, {new FileInfo(db).Length / 1e6 / years:0.0} MB a year; load "
            + File.ReadAllText("/proc/loadavg").Split(' ')[0]);
    foreach (string[] command in (string[][])[["explain", "--site", "site0"], ["explain"], ["plan", "--site", "site0"]])
        Console.WriteLine(
            $"{string.Join(' ', command)}: {Enumerable.Range(0, 5).Min(_ => Cpu(command)):0.00} s of processor at least in five runs");
    await RunAsync(garden);
    return 0;

    double Cpu(string[] command)
    {
        var before = ChildrenSeconds();
        using var process = Process.Start(
            new ProcessStartInfo(
                program, [.. command, "--garden", garden]) { RedirectStandardOutput = true, RedirectStandardError = true })!;
        process.StandardOutput.ReadToEnd();
        process.WaitForExit();
        return ChildrenSeconds() - before;
    }
}
finally
{
    folder.Delete(true);
}

async Task RunAsync(string garden)
{
    using var web = new HttpClient { BaseAddress = new Uri($"http://127.0.0.1:{Page}") };
    var watch = Stopwatch.StartNew();
    using var service = Process.Start(new ProcessStartInfo(program, ["run", "--garden", garden]) { RedirectStandardOutput = true })!;
    service.OutputDataReceived += (_, _) => { };
    service.BeginOutputReadLine();
    while (true)
    {
        try
        {
            (await web.GetAsync("/")).EnsureSuccessStatusCode();
            break;
        }
        catch (HttpRequestException)
        {
            await Task.Delay(20); // The page is served once the season has been judged.
        }
    }

    service.Refresh();
    Console.WriteLine(
        $"run: the page answers after {watch.Elapsed.TotalSeconds:0.00} s, {service.TotalProcessorTime.TotalSeconds:0.00} s of processor");
    await Task.Delay(5_000);
    Console.WriteLine($"idle: {Memory()}");
    foreach (var path in (string[])["/", "/weather", "/spraying", "/sensors", "/journal", "/year", "/report"])
    {
        var times = new List<double>();
        for (var view = 0; view < 100; view++)
        {
            var one = Stopwatch.StartNew();
            (await web.GetAsync($"{path}?site=site0")).EnsureSuccessStatusCode();
            times.Add(one.Elapsed.TotalMilliseconds);
        }

        times.Sort();
        Console.WriteLine($"{path}: half of 100 views within {times[49]:0.0} ms, 95 within {times[94]:0.0} ms; {Memory()}");
    }

    Process.Start("kill", ["-TERM", $"{service.Id}"]).WaitForExit();
    service.WaitForExit();

    // Resident, and what of it is the process's own; the rest is the program's file and the system's libraries.
    string Memory()
    {
        var lines = File.ReadLines($"/proc/{service.Id}/status").Where(line => line.StartsWith("VmRSS", StringComparison.Ordinal)
            || line.StartsWith("RssAnon", StringComparison.Ordinal));
        var kib = lines.Select(line => long.Parse(line.Split(':')[1].Replace("kB", "", StringComparison.Ordinal))).ToArray();
        return $"{kib[0] >> 10} MiB, {kib[1] >> 10} of them private";
    }
}

// Of all processes that were started here and have ended; the kernel counts in hundredths of a second.
double ChildrenSeconds()
{
    var fields = File.ReadAllText("/proc/self/stat").Split(')')[^1].Split(' ');
    return (long.Parse(fields[14]) + long.Parse(fields[15])) / 100.0;
}

void WriteGarden(string path, string db)
{
    using var file = new StreamWriter(path);
    file.Write($"broker: {{ port: {Broker}, client_id: bench, topic_root: bench, embedded: true }}\nstore: {{ path: \"{db}\" }}\n");
    file.Write($"page: {{ port: {Page} }}\nsites:\n");
    for (var site = 0; site < sites; site++)
    {
        file.Write($"  - id: site{site}\n    latitude: 47\n    longitude: 8\n    series:\n");
        foreach (var kind in kinds)
            file.Write($"      - {{ quantity: {kind.Quantity}, topic: sensors/{site}, path: {kind.Path}, time: at }}\n");
        file.Write("    plantings:\n      - { id: peach, kind: peach }\n");
    }
}

void WriteSeason(string path)
{
    var random = new Random(5);
    using var store = SentinelStore.Open(path);
    var series = Enumerable.Range(0, sites)
        .SelectMany(site => kinds.Select(kind => store.SeriesId($"site{site}/{kind.Quantity.Replace("-", "")}/sensors/{site}#{kind.Path}")))
        .ToArray();
    var values = series.Select((_, i) => kinds[i % 5].Low).ToArray();
    var batch = new StoreBatch();
    var at = DateTimeOffset.UtcNow.AddDays(-365 * years).ToUnixTimeMilliseconds();
    for (var step = 0; step < years * 365 * 288; step++, at += 300_000)
    {
        for (var i = 0; i < series.Length; i++)
        {
            var (quantity, _, low, high, size, decimals) = kinds[i % 5];
            values[i] = quantity == "rain"
                ? random.Next(40) == 0 ? 0.2 : 0
                : Math.Clamp(values[i] + ((random.NextDouble() - 0.5) * size), low, high);
            var own = at + (i * 9_871);
            var behindUs = i % 2 == 0 ? random.Next(1_000) : random.Next(10_000_000);
            batch.Readings.Add(new StoredReading(series[i], own, Math.Round(values[i], decimals), (own * 1000) + behindUs));
        }

        if (step % 12 < 11)
            continue;
        store.Commit(batch);
        batch.Clear();
    }

    store.NoteListened(DateTimeOffset.UtcNow);
}
