#:property PublishAot=false
#:property TreatWarningsAsErrors=false
#:property RestorePackagesWithLockFile=false
#:package MQTTnet
#:project ../../src/BackyardSentinel/BackyardSentinel.csproj

// Measures the figures of docs/performance.md. Build first, then:
//   dotnet run tests/bench/bench.cs -- replay            5 million rows, five runs
//   dotnet run tests/bench/bench.cs -- mqtt PORT SECONDS  stored messages a second through the broker on PORT
//   dotnet run tests/bench/bench.cs -- disk              bytes a simulated day of 20 devices × 3 values a minute writes
//   dotnet run tests/bench/bench.cs -- idle              memory and start with a year of readings stored
using System.Diagnostics;
using System.Globalization;
using BackyardSentinel.Storage;
using MQTTnet;
using MQTTnet.Protocol;

CultureInfo.CurrentCulture = CultureInfo.InvariantCulture;
var program = Path.GetFullPath("artifacts/bin/BackyardSentinel/release/backyard-sentinel");
if (!File.Exists(program))
{
    Console.Error.WriteLine("Build the program first: dotnet build -c Release (and stand in the checkout's top folder).");
    return 2;
}

var folder = Directory.CreateTempSubdirectory("sentinel-bench-");
try
{
    switch (args.FirstOrDefault())
    {
        case "replay": Replay(); return 0;
        case "mqtt": await MqttAsync(int.Parse(args[1]), int.Parse(args[2])); return 0;
        case "idle": await IdleAsync(); return 0;
        case "disk": Disk(); return 0;
        default: Console.Error.WriteLine("replay, mqtt PORT SECONDS, idle, or disk"); return 2;
    }
}
finally
{
    folder.Delete(true);
}

void Replay()
{
    const int Rows = 5_000_000;
    var log = Path.Combine(folder.FullName, "wide.csv");
    WriteLog(log, Rows);
    Console.WriteLine($"{Rows:#,0} rows, {new FileInfo(log).Length / 1e6:0} MB");
    for (var run = 0; run < 5; run++)
    {
        var watch = Stopwatch.StartNew();
        using var process = Process.Start(
            new ProcessStartInfo("taskset", ["-c", "0", program, "replay", log, "--json"]) { RedirectStandardOutput = true }
        )!;
        process.OutputDataReceived += (_, _) => { };
        process.BeginOutputReadLine();
        long peak = 0;
        while (!process.WaitForExit(10))
        {
            try
            {
                process.Refresh();
                peak = Math.Max(peak, process.PeakWorkingSet64);
            }
            catch (InvalidOperationException)
            {
                break; // It has just ended.
            }
        }

        var seconds = watch.Elapsed.TotalSeconds;
        Console.WriteLine(
            $"run {run + 1}: {seconds:0.00} s on one core, {Rows / seconds / 1e6:0.00} M rows/s, peak {peak / 1048576.0:0} MiB");
    }
}

void WriteLog(string path, int rows)
{
    var random = new Random(3);
    double t = 10, h = 80;
    var at = new DateTime(2015, 1, 1);
    using var file = new StreamWriter(path);
    file.Write("time,temperature_c,humidity_pct,rain_mm,wind_ms\n");
    for (var i = 0; i < rows; i++, at = at.AddMinutes(1))
    {
        t = Math.Clamp(t + (random.NextDouble() * 0.4) - 0.2, -5, 30);
        h = Math.Clamp(h + random.NextDouble() - 0.5, 40, 99);
        var rain = random.Next(100) < 3 ? "0.20" : "0.00";
        file.Write($"{at:yyyy-MM-ddTHH:mm:ss}Z,{t:0.00},{h:0.00},{rain},{Math.Abs(t) / 3:0.00}\n");
    }
}

string WriteGarden(int port, bool embedded)
{
    var path = Path.Combine(folder.FullName, "garden.yaml");
    File.WriteAllText(path, $"""
        broker: {"{"} port: {port}, topic_root: bench, embedded: {(embedded ? "true" : "false")} {"}"}
        store: {"{"} path: "{Path.Combine(folder.FullName, "bench.db")}" {"}"}
        sites:
          - id: site
            series:
              - {"{"} quantity: temperature, topic: bench/in, path: t, time: at {"}"}
              - {"{"} quantity: humidity, topic: bench/in, path: h, time: at {"}"}
            plantings:
              - {"{"} id: peach, kind: peach {"}"}
        """);
    return path;
}

async Task<IMqttClient> ConnectAsync(int port)
{
    var client = new MqttClientFactory().CreateMqttClient();
    await client.ConnectAsync(new MqttClientOptionsBuilder().WithTcpServer("127.0.0.1", port).WithClientId("bench-sensor").Build());
    return client;
}

async Task MqttAsync(int port, int seconds)
{
    const int PerSecond = 2500;
    using var service = Process.Start(
        new ProcessStartInfo(program, ["run", "--garden", WriteGarden(port, false), "--time-from-readings"])
        {
            RedirectStandardOutput = true,
        }
    )!;
    service.OutputDataReceived += (_, _) => { };
    service.BeginOutputReadLine();
    await Task.Delay(2000);
    using var sensor = await ConnectAsync(port);
    var watch = Stopwatch.StartNew();
    var sent = 0;
    var at = new DateTime(2026, 1, 1);
    while (watch.Elapsed.TotalSeconds < seconds)
    {
        var tasks = new List<Task>();
        for (var due = (int)(watch.Elapsed.TotalSeconds * PerSecond); sent < due && tasks.Count < 100; sent++, at = at.AddSeconds(10))
            tasks.Add(
                sensor.PublishStringAsync(
                    "bench/in",
                    $"{{\"at\":\"{at:yyyy-MM-ddTHH:mm:ss}Z\",\"t\":{5 + (sent % 7)},\"h\":{60 + (sent % 30)}}}",
                    MqttQualityOfServiceLevel.AtLeastOnce));
        await Task.WhenAll(tasks);
        await Task.Delay(5);
    }

    var published = watch.Elapsed;
    Console.WriteLine($"published {sent:#,0} messages in {published.TotalSeconds:0.0} s");
    var db = Path.Combine(folder.FullName, "bench.db");
    long rows = 0;
    while (watch.Elapsed < published + TimeSpan.FromSeconds(60) && (rows = Count(db)) < 2L * sent)
        await Task.Delay(250);
    Console.WriteLine(
        $"stored {rows:#,0} readings ({2L * sent:#,0} expected, lost {(2L * sent) - rows}) by {watch.Elapsed.TotalSeconds:0.0} s: {sent / watch.Elapsed.TotalSeconds:#,0} messages/s");
    Console.WriteLine(
        $"service: {service.TotalProcessorTime.TotalSeconds:0.0} s of processor, working set {service.WorkingSet64 / 1048576.0:0} MiB");
    Process.Start("kill", ["-TERM", $"{service.Id}"]).WaitForExit();
    var stop = Stopwatch.StartNew();
    service.WaitForExit();
    Console.WriteLine($"ended in {stop.Elapsed.TotalSeconds:0.00} s with exit code {service.ExitCode}");
}

long Count(string db)
{
    using var query = Process.Start(
        new ProcessStartInfo("sqlite3", ["-readonly", db, "select count(*) from readings"]) { RedirectStandardOutput = true }
    )!;
    var text = query.StandardOutput.ReadToEnd();
    query.WaitForExit();
    return long.TryParse(text.Trim(), out var n) ? n : -1;
}

void Disk()
{
    // On a real disk, not in memory: the figure is what the kernel says this process had written.
    const int Days = 2;
    using (var store = SentinelStore.Open(Path.Combine(folder.FullName, "disk.db")))
    {
        var series = Enumerable.Range(0, 60).Select(i => store.SeriesId($"series-{i}")).ToArray();
        var batch = new StoreBatch();
        var at = new DateTimeOffset(2026, 1, 1, 0, 0, 0, TimeSpan.Zero).ToUnixTimeMilliseconds();
        var before = WrittenBytes();
        for (var half = 0; half < Days * 2880; half++, at += 30_000)
        {
            // Twenty devices speak at their own second of the minute; a commit each 30 s.
            for (var i = 0; i < 30; i++)
            {
                var device = ((half % 2) * 10) + (i / 3);
                batch.Readings.Add(
                    new StoredReading(
                        series[(device * 3) + (i % 3)],
                        at + (device * 2_900),
                        10 + (i % 7),
                        (at * 1000) + (device * 2_900_000L) + i));
            }

            store.Commit(batch);
            batch.Clear();
        }

        Console.WriteLine($"{(WrittenBytes() - before) / 1e6 / Days:0.0} MB a day written, {Days * 2880 * 30 / Days:#,0} readings a day");
    }

    Console.WriteLine($"{new FileInfo(Path.Combine(folder.FullName, "disk.db")).Length / 1e6 / Days:0.0} MB a day kept");

    static long WrittenBytes() =>
        long.Parse(File.ReadLines("/proc/self/io").First(line => line.StartsWith("write_bytes", StringComparison.Ordinal)).Split(':')[1]);
}

async Task IdleAsync()
{
    // A year of two series at one reading each five minutes, stored by the service itself through its own broker.
    var garden = WriteGarden(18999, true);
    using (
        var filling = Process.Start(
            new ProcessStartInfo(program, ["run", "--garden", garden, "--time-from-readings"]) { RedirectStandardOutput = true }
        )!)
    {
        filling.OutputDataReceived += (_, _) => { };
        filling.BeginOutputReadLine();
        await Task.Delay(2000);
        using var sensor = await ConnectAsync(18999);
        var at = DateTime.UtcNow.AddDays(-365);
        for (var i = 0; i < 365 * 288; i++, at = at.AddMinutes(5))
            await sensor.PublishStringAsync(
                "bench/in",
                $"{{\"at\":\"{at:yyyy-MM-ddTHH:mm:ss}Z\",\"t\":{5 + (i % 7)},\"h\":{60 + (i % 39)}}}",
                MqttQualityOfServiceLevel.AtLeastOnce);
        await Task.Delay(3000);
        Process.Start("kill", ["-TERM", $"{filling.Id}"]).WaitForExit();
        filling.WaitForExit();
    }

    var watch = Stopwatch.StartNew();
    using var service = Process.Start(
        new ProcessStartInfo(program, ["run", "--garden", garden]) { RedirectStandardError = true, RedirectStandardOutput = true }
    )!;
    service.OutputDataReceived += (_, _) => { };
    service.BeginOutputReadLine();
    while (await service.StandardError.ReadLineAsync() is { } line)
    {
        Console.WriteLine(line);
        if (line.Contains("Connected", StringComparison.Ordinal))
            break;
    }

    Console.WriteLine($"ready after {watch.Elapsed.TotalSeconds:0.00} s");
    await Task.Delay(10_000);
    service.Refresh();
    Console.WriteLine($"idle working set {service.WorkingSet64 / 1048576.0:0} MiB");
    Process.Start("kill", ["-TERM", $"{service.Id}"]).WaitForExit();
    service.WaitForExit();
}
