#:property PublishAot=false
#:property TreatWarningsAsErrors=false
#:property RestorePackagesWithLockFile=false
#:package MQTTnet
#:project ../../src/BackyardSentinel/BackyardSentinel.csproj

// Measures the figures of docs/performance.md. Build first, then:
//   dotnet run tests/bench/bench.cs -- tune              sets of limits of each rule over ten seasons at ten minutes, up to 40,000
//   dotnet run tests/bench/bench.cs -- mqtt PORT SECONDS [PER_SECOND [SITES]]
//                                                        messages of five readings stored through the broker on PORT,
//                                                        whose $SYS topics tell what left it
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
        case "tune": Tune(); return 0;
        case "mqtt": await MqttAsync(Number(1, 1883), Number(2, 60), Number(3, 7500), Number(4, 1)); return 0;
        case "idle": await IdleAsync(); return 0;
        case "disk": Disk(); return 0;
        default: Console.Error.WriteLine("tune, mqtt PORT SECONDS [PER_SECOND [SITES]], idle, or disk"); return 2;
    }
}
finally
{
    folder.Delete(true);
}

int Number(int at, int otherwise) => args.Length > at ? int.Parse(args[at]) : otherwise;

void Tune()
{
    var (log, journal) = (Path.Combine(folder.FullName, "seasons.csv"), Path.Combine(folder.FullName, "looks.jsonl"));
    WriteSeasons(log, journal, 10);
    (string Rule, string Vary)[] searches =
    [
        ("wet-hours", "wet_hours,rain,temperature"),
        ("wet-hours", "wet_hours,rain,temperature,dry_gap,wet_humidity"),
        ("wet-hours", "all"),
        ("two-day", "wet_hours,lowest_temperature,temperature"),
        ("two-day", "all"),
        ("rain-day", "all"),
    ];
    foreach (var (rule, vary) in searches)
    {
        for (var run = 0; run < 3; run++)
        {
            var (watch, before) = (Stopwatch.StartNew(), ChildrenSeconds());
            using var process = Process.Start(
                new ProcessStartInfo(
                    program,
                    ["tune", log, "--period", "10m", "--journal", journal, "--latitude", "46", "--rule", rule, "--vary", vary, "--json"])
                {
                    RedirectStandardOutput = true,
                })!;
            var sets = process.StandardOutput.ReadToEnd().Split('\n').First(line => line.Contains("\"sets\""));
            process.WaitForExit();
            Console.WriteLine(
                $"{rule}, {vary}: {sets.Trim()} {watch.Elapsed.TotalSeconds:0.00} s, {ChildrenSeconds() - before:0.00} s of processor");
        }
    }

    // Of children that have ended, in hundredths of a second: fields 16 and 17 of proc(5).
    static double ChildrenSeconds() => File.ReadAllText("/proc/self/stat").Split(' ')[15..17].Sum(long.Parse) / 100.0;
}

// Years of weather that wanders, with wet days between dry ones, and a look each fortnight at two plantings.
void WriteSeasons(string path, string journal, int years)
{
    var random = new Random(5);
    var at = new DateTime(2015, 9, 1);
    var (wet, rain, anomaly) = (0, 0.0, 0.0);
    using var file = new StreamWriter(path);
    file.Write("time,temperature_c,humidity_pct,rain_mm\n");
    for (; at < new DateTime(2015 + years, 9, 1); at = at.AddMinutes(10))
    {
        if (at is { Hour: 0, Minute: 0 })
            anomaly = (0.8 * anomaly) + (random.NextDouble() * 4) - 2;
        if (--wet < -200 && random.Next(400) == 0)
            (wet, rain) = (random.Next(20, 200), random.NextDouble() * 0.2);
        var mean = 10 - (9 * Math.Cos((at.DayOfYear - 15) / 365.0 * 2 * Math.PI)) + anomaly;
        var t = mean - ((wet > 0 ? 1.5 : 5) * Math.Cos((at.Hour - 3) / 24.0 * 2 * Math.PI));
        var h = wet > 0 ? 88 + (random.NextDouble() * 11) : 65 - (3 * (t - mean)) + (random.NextDouble() * 5);
        file.Write($"{at:yyyy-MM-ddTHH:mm:ss}Z,{t:0.0},{Math.Clamp(h, 30, 99):0},{(wet > 0 && random.Next(2) == 0 ? rain : 0):0.0}\n");
    }

    using var looks = new StreamWriter(journal);
    for (var year = 2016; year <= 2015 + years; year++)
    {
        for (var day = new DateTime(year, 4, 15); day < new DateTime(year, 7, 1); day = day.AddDays(14))
        {
            foreach (var planting in new[] { "gate-nectarine", "white-peach" })
                looks.Write(
                    $"{{\"on\":\"{day:yyyy-MM-dd}\",\"planting\":\"{planting}\",\"kind\":\"scout\",\"shoots\":20,"
                    + $"\"curled\":{Math.Max(0, random.Next(-6, 4))}}}\n");
        }
    }
}

string WriteGarden(int port, bool embedded, int sites = 1, bool all = false)
{
    const int InAFile = 1000; // A garden file takes up to 1 MB.
    (string Quantity, string Field)[] kinds =
        [("temperature", "t"), ("humidity", "h"), ("rain", "r"), ("wind-speed", "w"), ("leaf-wetness", "l")];
    var path = Path.Combine(folder.FullName, "garden.yaml");
    File.WriteAllText(path, $"""
        broker: {"{"} port: {port}, client_id: bench, topic_root: bench, embedded: {(embedded ? "true" : "false")} {"}"}
        store: {"{"} path: "{Path.Combine(folder.FullName, "bench.db")}" {"}"}
        include: [sites-*.yaml]

        """);
    for (var first = 0; first < sites; first += InAFile)
    {
        using var file = new StreamWriter(Path.Combine(folder.FullName, $"sites-{first:00000}.yaml"));
        file.Write("sites:\n");
        for (var site = first; site < Math.Min(sites, first + InAFile); site++)
        {
            file.Write($"  - id: site{site}\n    series:\n");
            foreach (var (quantity, field) in kinds.Take(all ? kinds.Length : 2))
                file.Write($"      - {{ quantity: {quantity}, topic: sensors/{site}, path: {field}, time: at }}\n");
            file.Write("    plantings:\n      - { id: peach, kind: peach }\n");
        }
    }

    return path;
}

async Task<IMqttClient> ConnectAsync(int port, string? clientId = null)
{
    var client = new MqttClientFactory().CreateMqttClient();
    await client.ConnectAsync(
        new MqttClientOptionsBuilder()
            .WithTcpServer("127.0.0.1", port)
            .WithProtocolVersion(MQTTnet.Formatter.MqttProtocolVersion.V500)
            .WithClientId(clientId ?? $"bench-{Guid.NewGuid():N}")
            .WithCleanStart()
            .Build());
    return client;
}

// The service says on its retained state topic that it watches, and not before it is subscribed to its sensors.
async Task ReadyAsync(int port)
{
    var watching = new TaskCompletionSource(TaskCreationOptions.RunContinuationsAsynchronously);
    while (true)
    {
        try
        {
            using var client = await ConnectAsync(port);
            client.ApplicationMessageReceivedAsync += args =>
            {
                if (args.ApplicationMessage.ConvertPayloadToString().Contains("watching", StringComparison.Ordinal))
                    watching.TrySetResult();
                return Task.CompletedTask;
            };
            await client.SubscribeAsync("bench/state");
            await watching.Task.WaitAsync(TimeSpan.FromMinutes(2));
            return;
        }
        catch (MQTTnet.Exceptions.MqttCommunicationException)
        {
            await Task.Delay(20); // The embedded broker is not there yet.
        }
    }
}

async Task MqttAsync(int port, int seconds, int perSecond, int sites)
{
    const int Readings = 5;
    // A session left over from a run before would fill its queue at the broker's cost.
    (await ConnectAsync(port, "bench")).Dispose();
    using (var sweep = await ConnectAsync(port, "bench-homie"))
        await sweep.PublishAsync(new MqttApplicationMessageBuilder().WithTopic("bench/state").WithRetainFlag().Build());
    using var broker = await ConnectAsync(port);
    var brokerSent = await SentAsync(broker);
    using var service = Start("run", "--garden", WriteGarden(port, false, sites, all: true), "--time-from-readings");
    await ReadyAsync(port);
    var before = service.TotalProcessorTime;
    using var sensor = await ConnectAsync(port);
    var watch = Stopwatch.StartNew();
    var sent = 0;
    var at = new DateTime(2026, 1, 1);
    var inFlight = new SemaphoreSlim(400);
    List<Task> tasks = [];
    while (watch.Elapsed.TotalSeconds < seconds)
    {
        for (var due = watch.Elapsed.TotalSeconds * perSecond; sent < due && inFlight.Wait(0); sent++)
        {
            if (sent % sites == 0)
                at = at.AddSeconds(sites == 1 ? 10 : 60);
            tasks.Add(SendAsync(sent, at));
        }

        tasks.RemoveAll(task => task.IsCompletedSuccessfully);
        await Task.Delay(1);
    }

    await Task.WhenAll(tasks);
    var published = watch.Elapsed;
    Console.WriteLine($"published {sent:#,0} messages in {published.TotalSeconds:0.0} s: {sent / published.TotalSeconds:#,0} messages/s");
    // Until all is stored, or nothing more comes for as long as the longest wait for a commit.
    var db = Path.Combine(folder.FullName, "bench.db");
    var (rows, grew) = (0L, watch.Elapsed);
    while (rows < (long)Readings * sent && watch.Elapsed - grew < TimeSpan.FromSeconds(35))
    {
        await Task.Delay(250);
        if (Count(db) is var now && now > rows)
            (rows, grew) = (now, watch.Elapsed);
    }

    service.Refresh();
    var used = (service.TotalProcessorTime - before).TotalSeconds;
    Console.WriteLine(
        $"stored {rows:#,0} readings ({(long)Readings * sent:#,0} expected, {sent - (rows / Readings):#,0} messages lost) by "
            + $"{grew.TotalSeconds:0.0} s: {rows / Readings / grew.TotalSeconds:#,0} messages/s");
    Console.WriteLine(
        $"service: {used:0.0} s of processor, {used * 1e6 / sent:0.0} µs a message; working set {service.WorkingSet64 / 1048576.0:0} "
            + $"MiB, at most {service.PeakWorkingSet64 / 1048576.0:0} MiB");
    if (rows < (long)Readings * sent)
    {
        await Task.Delay(11_000); // It counts them up every ten seconds, unless set otherwise.
        Console.WriteLine(await SentAsync(broker) - (brokerSent ?? 0) is { } left
            ? $"the broker says that {left:#,0} messages left it, a few of them not for the service: {sent - left:#,0} did not"
            : "the broker does not say how many messages left it");
    }

    End(service);

    async Task SendAsync(int n, DateTime time)
    {
        await sensor.PublishStringAsync(
            $"sensors/{n % sites}",
            $"{{\"at\":\"{time:yyyy-MM-ddTHH:mm:ss}Z\",\"t\":{5 + (n % 7)},\"h\":{60 + (n % 30)},\"r\":{(n % 100 == 0 ? "0.2" : "0")}"
                + $",\"w\":{n % 5},\"l\":{n % 15}}}",
            MqttQualityOfServiceLevel.AtLeastOnce);
        inFlight.Release();
    }
}

// What mosquitto says that it sent since its start, to any client. That it dropped some it says in its log, once a connection; the topic
// $SYS/broker/publish/messages/dropped does not come from version 2.0.11.
async Task<long?> SentAsync(IMqttClient client)
{
    const string Topic = "$SYS/broker/publish/messages/sent";
    var count = new TaskCompletionSource<long>(TaskCreationOptions.RunContinuationsAsynchronously);
    client.ApplicationMessageReceivedAsync += Take;
    await client.SubscribeAsync(Topic);
    await Task.WhenAny(count.Task, Task.Delay(11_000)); // It says nothing before the first.
    client.ApplicationMessageReceivedAsync -= Take;
    await client.UnsubscribeAsync(Topic);
    return count.Task.IsCompleted ? await count.Task : null;

    Task Take(MqttApplicationMessageReceivedEventArgs args)
    {
        count.TrySetResult(long.Parse(args.ApplicationMessage.ConvertPayloadToString()));
        return Task.CompletedTask;
    }
}

Process Start(params string[] arguments)
{
    var process = Process.Start(new ProcessStartInfo(program, arguments) { RedirectStandardOutput = true })!;
    process.OutputDataReceived += (_, _) => { };
    process.BeginOutputReadLine();
    return process;
}

void End(Process process)
{
    var stop = Stopwatch.StartNew();
    Process.Start("kill", ["-TERM", $"{process.Id}"]).WaitForExit();
    process.WaitForExit();
    Console.WriteLine($"ended in {stop.Elapsed.TotalSeconds:0.00} s with exit code {process.ExitCode}");
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
    const int Port = 18999, Readings = 365 * 288;
    var garden = WriteGarden(Port, true);
    using (var filling = Start("run", "--garden", garden, "--time-from-readings"))
    {
        await ReadyAsync(Port);
        using var sensor = await ConnectAsync(Port);
        var at = DateTime.UtcNow.AddDays(-365);
        for (var i = 0; i < Readings; i++, at = at.AddMinutes(5))
            await sensor.PublishStringAsync(
                "sensors/0",
                $"{{\"at\":\"{at:yyyy-MM-ddTHH:mm:ss}Z\",\"t\":{5 + (i % 7)},\"h\":{60 + (i % 39)}}}",
                MqttQualityOfServiceLevel.AtLeastOnce);
        var db = Path.Combine(folder.FullName, "bench.db");
        while (Count(db) < 2 * Readings)
            await Task.Delay(250);
        End(filling);
    }

    var watch = Stopwatch.StartNew();
    using var service = Start("run", "--garden", garden);
    await ReadyAsync(Port);
    service.Refresh();
    Console.WriteLine($"ready after {watch.Elapsed.TotalSeconds:0.00} s, {service.TotalProcessorTime.TotalSeconds:0.00} s of processor");
    await Task.Delay(10_000);
    service.Refresh();
    Console.WriteLine($"idle working set {service.WorkingSet64 / 1048576.0:0} MiB");
    var before = service.TotalProcessorTime;
    await Task.Delay(20_000);
    service.Refresh();
    Console.WriteLine($"idle: {(service.TotalProcessorTime - before).TotalMilliseconds / 20:0.0} ms of processor a second");
    End(service);
}
