#:property PublishAot=false
#:property TreatWarningsAsErrors=false
#:property RestorePackagesWithLockFile=false
#:project ../../src/BackyardSentinel/BackyardSentinel.csproj

// Measures many gardens in one process: start, memory, messages, page, tune. Needs mosquitto. In the checkout's top folder:
//   dotnet run tests/bench/gardens.cs -- [PROGRAM [SITES [DAYS]]]
// A site is temperature, humidity, leaf wetness, rain and wind in one message; of each DAYS days lie in the store, hourly, and while it
// is measured each sends once a minute.
using System.Diagnostics;
using System.Globalization;
using System.Net;
using System.Net.Sockets;
using BackyardSentinel.Configuration;
using BackyardSentinel.Storage;
using MQTTnet;
using MQTTnet.Protocol;

CultureInfo.CurrentCulture = CultureInfo.InvariantCulture;
var program = Path.GetFullPath(args.ElementAtOrDefault(0) ?? "artifacts/bin/BackyardSentinel/release/backyard-sentinel");
var (sites, days) = (int.Parse(args.ElementAtOrDefault(1) ?? "5000"), int.Parse(args.ElementAtOrDefault(2) ?? "30"));
var (brokerPort, pagePort) = (FreePort(), FreePort());
var folder = Directory.CreateTempSubdirectory("sentinel-gardens-");
var garden = Path.Combine(folder.FullName, "garden.yaml");
using var broker = Process.Start(
    new ProcessStartInfo("/usr/sbin/mosquitto", ["-p", $"{brokerPort}"]) { RedirectStandardOutput = true, RedirectStandardError = true })!;
try
{
    WriteGarden();
    WriteReadings();
    Console.WriteLine($"{sites} sites, {sites * 5} series, {sites * 5L * 24 * days:#,0} readings stored; load {Load()}");
    Timed("check", ["check", "--garden", garden]);
    Timed("explain of one site", ["explain", "--garden", garden, "--site", Id(7)]);
    var watch = Stopwatch.StartNew();
    using var service = Process.Start(
        new ProcessStartInfo(program, ["run", "--garden", garden]) { RedirectStandardOutput = true, RedirectStandardError = true })!;
    service.BeginOutputReadLine();
    service.BeginErrorReadLine();
    using var web = new HttpClient { BaseAddress = new Uri($"http://127.0.0.1:{pagePort}") };
    while (!await AnswersAsync(web) && !service.HasExited)
        await Task.Delay(50);
    Console.WriteLine(
        $"start: {watch.Elapsed.TotalSeconds:0.0} s until the page answers, {Cpu(service):0.0} s of processor; {Memory(service)}");
    await SendAsync(service);
    foreach (var path in (string[])["/", "/weather", "/sensors", "/spraying"])
    {
        var times = new List<double>();
        for (var view = 0; view < 40; view++)
        {
            var one = Stopwatch.StartNew();
            (await web.GetAsync($"{path}?site={Id(view * 13 % sites)}")).EnsureSuccessStatusCode();
            times.Add(one.Elapsed.TotalMilliseconds);
        }

        times.Sort();
        Console.WriteLine($"{path}: half of 40 views within {times[19]:0} ms, 95 of 100 within {times[37]:0} ms");
    }

    Timed("tune of one site, the service running", ["tune", "--garden", garden, "--site", Id(7)]);
    Console.WriteLine($"in the end: {Memory(service)}");
    Process.Start("kill", ["-TERM", $"{service.Id}"]).WaitForExit();
    service.WaitForExit();
    return 0;
}
finally
{
    broker.Kill();
    folder.Delete(true);
}

static string Id(int site) => $"g{site:0000}";

static string Load() => File.ReadAllText("/proc/loadavg").Split(' ')[0];

static int FreePort()
{
    using var probe = new TcpListener(IPAddress.Loopback, 0);
    probe.Start();
    return ((IPEndPoint)probe.LocalEndpoint).Port;
}

static double Cpu(Process process)
{
    process.Refresh();
    return process.TotalProcessorTime.TotalSeconds;
}

static string Memory(Process process)
{
    process.Refresh();
    return $"{process.WorkingSet64 >> 20} MiB, at most {process.PeakWorkingSet64 >> 20}";
}

static async Task<bool> AnswersAsync(HttpClient web)
{
    try
    {
        return (await web.GetAsync("/")).IsSuccessStatusCode;
    }
    catch (HttpRequestException)
    {
        return false;
    }
}

void Timed(string what, string[] command)
{
    var watch = Stopwatch.StartNew();
    using var process = Process.Start(
        new ProcessStartInfo(program, command) { RedirectStandardOutput = true, RedirectStandardError = true })!;
    var errors = process.StandardError.ReadToEndAsync();
    process.StandardOutput.ReadToEnd();
    process.WaitForExit();
    Console.WriteLine($"{what}: {watch.Elapsed.TotalSeconds:0.0} s, code {process.ExitCode} {errors.Result.Split('\n')[0]}");
}

// Each site once a minute, spread over it; the processor time of the service alone.
async Task SendAsync(Process service)
{
    using var client = new MqttClientFactory().CreateMqttClient();
    await client.ConnectAsync(new MqttClientOptionsBuilder().WithTcpServer("127.0.0.1", brokerPort).WithClientId("bench-hub").Build());
    var (before, watch) = (Cpu(service), Stopwatch.StartNew());
    const int Rounds = 2;
    for (var round = 0; round < Rounds; round++)
    {
        for (var site = 0; site < sites; site++)
        {
            await client.PublishStringAsync(
                $"gardens/{Id(site)}",
                $$"""{"t": {{6 + (site % 7)}}.5, "h": {{70 + (site % 29)}}, "l": {{site % 15}}, "r": 0.2, "w": 1.4}""",
                MqttQualityOfServiceLevel.AtLeastOnce);
            var due = TimeSpan.FromMinutes(round + (site / (double)sites));
            if (watch.Elapsed < due)
                await Task.Delay(due - watch.Elapsed);
        }
    }

    Console.WriteLine(
        $"{Rounds * sites} messages of five values in {watch.Elapsed.TotalSeconds:0} s: "
            + $"{100 * (Cpu(service) - before) / watch.Elapsed.TotalSeconds:0} % of one core; {Memory(service)}; load {Load()}");
}

void WriteGarden()
{
    Directory.CreateDirectory(Path.Combine(folder.FullName, "gardens"));
    File.WriteAllText(
        garden,
        $$"""
        name: Many gardens
        include: [gardens/*.yaml]
        broker: { port: {{brokerPort}}, homie: false }
        store: { path: bench.db }
        page: { port: {{pagePort}} }
        series:
          - { quantity: temperature, topic: "gardens/{site}", path: t }
          - { quantity: humidity, topic: "gardens/{site}", path: h }
          - { quantity: leaf-wetness, topic: "gardens/{site}", path: l, wet_on: 7 }
          - { quantity: rain, topic: "gardens/{site}", path: r, unit: mm }
          - { quantity: wind-speed, topic: "gardens/{site}", path: w }

        """);
    for (var file = 0; file < sites; file += 100)
    {
        File.WriteAllText(
            Path.Combine(folder.FullName, "gardens", $"{file:0000}.yaml"),
            "sites:\n" + string.Concat(
                Enumerable.Range(file, Math.Min(100, sites - file)).Select(
                    site =>
                        $"  - {{ id: {Id(site)}, latitude: 46, longitude: 14, plantings: [{{ id: {Id(site)}-peach, kind: peach }}] }}\n")));
    }
}

void WriteReadings()
{
    var read = GardenFileReader.Read(garden).Garden!;
    using var store = SentinelStore.Open(read.Store.Path);
    var series = read.Series.Select(one => store.SeriesId(one.Name)).ToArray();
    double[] usual = [7, 75, 2, 0, 1.5];
    var batch = new StoreBatch();
    var begin = DateTimeOffset.UtcNow.AddDays(-days);
    for (var hour = 0; hour < 24 * days; hour++)
    {
        var ms = begin.AddHours(hour).ToUnixTimeMilliseconds();
        for (var i = 0; i < series.Length; i++)
        {
            var value = usual[i % 5] + (hour % 24 / 12.0) + (i % 10 / 10.0);
            batch.Readings.Add(new StoredReading(series[i], ms, i % 5 == 3 && hour % 9 > 0 ? 0 : Math.Round(value, 1), (ms * 1000) + i));
        }

        store.Commit(batch);
        batch.Clear();
    }
}
