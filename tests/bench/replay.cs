#:property PublishAot=false
#:property TreatWarningsAsErrors=false
#:property RestorePackagesWithLockFile=false
#:package DuckDB.NET.Data.Full

// Measures replay against two peers on one file: a columnar SQL engine that parses and sums it, and that computes the same wet
// spells; and a plain Python script. Build first, then, in the checkout's top folder:
//   dotnet run tests/bench/replay.cs -- [PROGRAM [ROUNDS [ROWS]]]
// PROGRAM is that of the Release build unless another is named, such as one compiled ahead of time. All take turns, so that a
// machine that is busy is as busy for each; of each the least is told. What takes one core takes the first: a rented machine's cores
// may differ by half.
using System.Diagnostics;
using System.Globalization;
using System.Text.Json;
using DuckDB.NET.Data;

CultureInfo.CurrentCulture = CultureInfo.InvariantCulture;
if (args is ["sql", var log, var threads, var query])
    return Sql(log, threads, query);

var program = Path.GetFullPath(args.ElementAtOrDefault(0) ?? "artifacts/bin/BackyardSentinel/release/backyard-sentinel");
var (rounds, rows) = (int.Parse(args.ElementAtOrDefault(1) ?? "5"), int.Parse(args.ElementAtOrDefault(2) ?? "5000000"));
if (!File.Exists(program))
{
    Console.Error.WriteLine("Build the program first: dotnet build -c Release (and stand in the checkout's top folder).");
    return 2;
}

var folder = Directory.CreateTempSubdirectory("sentinel-bench-");
try
{
    var wide = Path.Combine(folder.FullName, "wide.csv");
    WriteLog(wide, rows);
    Console.WriteLine($"{rows:#,0} rows, {new FileInfo(wide).Length / 1e6:0} MB; load {File.ReadAllText("/proc/loadavg").Split(' ')[0]}");
    var self = Environment.ProcessPath!;
    (string What, int Rounds, string[] Command)[] peers =
    [
        ("replay, one core", rounds, ["taskset", "-c", "0", program, "replay", wide, "--json"]),
        ("replay, both cores", rounds, [program, "replay", wide, "--json"]),
        ("SQL, one thread: parse and sum", rounds, ["taskset", "-c", "0", self, "sql", wide, "1", "sum"]),
        ("SQL, one thread: wet spells", rounds, ["taskset", "-c", "0", self, "sql", wide, "1", "spells"]),
        ("SQL, two threads: wet spells", rounds, [self, "sql", wide, "2", "spells"]),
        ("Python: wet spells", 1, ["taskset", "-c", "0", "python3", "tests/bench/spells.py", wide]),
    ];
    var best = peers.ToDictionary(peer => peer.What, _ => (Cpu: double.MaxValue, Wall: double.MaxValue, Said: "", PeakMiB: 0L));
    for (var round = 0; round < rounds; round++)
    {
        foreach (var (what, _, command) in peers.Where(peer => round < peer.Rounds))
        {
            var run = Run(command);
            var before = best[what];
            best[what] = (Math.Min(before.Cpu, run.Cpu), Math.Min(before.Wall, run.Wall), run.Said, Math.Max(before.PeakMiB, run.PeakMiB));
        }
    }

    var yardstick = best["SQL, one thread: parse and sum"].Cpu;
    foreach (var (what, one) in best)
        Console.WriteLine(
            $"{what,-32} {one.Cpu,6:0.00} s of processor, {one.Wall,6:0.00} s by the clock, {one.PeakMiB,4} MiB, "
                + $"{one.Cpu / yardstick,6:0.00} of parse and sum; {one.Said}");
    return 0;
}
finally
{
    folder.Delete(true);
}

(double Cpu, double Wall, string Said, long PeakMiB) Run(string[] command)
{
    var (watch, before) = (Stopwatch.StartNew(), ChildrenSeconds());
    using var process = Process.Start(new ProcessStartInfo(command[0], command[1..]) { RedirectStandardOutput = true })!;
    var said = process.StandardOutput.ReadToEndAsync();
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

    process.WaitForExit();
    return (ChildrenSeconds() - before, watch.Elapsed.TotalSeconds, Said(said.Result), peak >> 20);
}

// Replay says as JSON what its peers say in a line: how many spells, and how many wet hours in them.
string Said(string output)
{
    if (!output.StartsWith('{'))
        return output.Trim();
    var spells = JsonDocument.Parse(output).RootElement.GetProperty("spells");
    return $"{spells.GetArrayLength()} spells, "
        + $"{spells.EnumerateArray().Sum(spell => spell.GetProperty("wet_hours").GetDouble()):0.0} wet hours";
}

// Of all processes that were started here and have ended; the kernel counts in hundredths of a second.
double ChildrenSeconds()
{
    var fields = File.ReadAllText("/proc/self/stat").Split(')')[^1].Split(' ');
    return (long.Parse(fields[14]) + long.Parse(fields[15])) / 100.0;
}

int Sql(string path, string threadCount, string what)
{
    using var engine = new DuckDBConnection("DataSource=:memory:");
    engine.Open();
    using var command = engine.CreateCommand();
    command.CommandText = $"set threads = {threadCount}; set timezone = 'UTC'";
    command.ExecuteNonQuery();
    var log = $"read_csv('{path}', header = true, columns = {{ 'time': 'TIMESTAMP', 'temperature_c': 'DOUBLE', 'humidity_pct': 'DOUBLE', "
        + "'rain_mm': 'DOUBLE', 'wind_ms': 'DOUBLE' }, timestampformat = '%Y-%m-%dT%H:%M:%SZ')";
    // Intervals of ten minutes; rain stamped at the start of one fell in the one before. Wet is one with rain, or of 90 % and above,
    // unless it is frozen. A spell begins with rain and ends when more than four hours have not been wet.
    command.CommandText = what == "sum"
        ? $"select count(*) || ' rows, ' || round(sum(temperature_c) + sum(humidity_pct) + sum(rain_mm) + sum(wind_ms)) from {log}"
        : $"""
            with minutes as (select epoch(time)::bigint as s, temperature_c as t, humidity_pct as h, rain_mm as r from {log}),
            air as (select s // 600 as i, avg(t) as t, avg(h) as h from minutes group by 1),
            rain as (select (s - 1) // 600 as i, sum(r) as r from minutes group by 1),
            wet as (
                select i, coalesce(r, 0) > 0 as rainy from air left join rain using (i)
                where round(t, 6) >= 0 and (coalesce(r, 0) > 0 or round(h, 6) >= 90)),
            gaps as (select i, rainy, coalesce(i - lag(i) over (order by i) > 25, true) as starts from wet),
            islands as (select i, rainy, sum(starts::int) over (order by i) as spell from gaps),
            begun as (select spell, max(rainy) over (partition by spell order by i) as on from islands)
            select count(distinct spell) || ' spells, ' || round(count(*) / 6.0, 1) || ' wet hours' from begun where "on"
            """;
    Console.WriteLine(command.ExecuteScalar());
    return 0;
}

void WriteLog(string path, int count)
{
    var random = new Random(3);
    double t = 10, h = 80;
    var at = new DateTime(2015, 1, 1);
    using var file = new StreamWriter(path);
    file.Write("time,temperature_c,humidity_pct,rain_mm,wind_ms\n");
    for (var i = 0; i < count; i++, at = at.AddMinutes(1))
    {
        t = Math.Clamp(t + (random.NextDouble() * 0.4) - 0.2, -5, 30);
        h = Math.Clamp(h + random.NextDouble() - 0.5, 40, 99);
        var rain = random.Next(100) < 3 ? "0.20" : "0.00";
        file.Write($"{at:yyyy-MM-ddTHH:mm:ss}Z,{t:0.00},{h:0.00},{rain},{Math.Abs(t) / 3:0.00}\n");
    }
}
