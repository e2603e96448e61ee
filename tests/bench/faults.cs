#:property PublishAot=false
#:property TreatWarningsAsErrors=false
#:property RestorePackagesWithLockFile=false

// Tries the promises of docs/reliability.md in full; the tests try each of them shortly at every save. Build first, then from the
// checkout's top folder:
//   dotnet run tests/bench/faults.cs -- kill            one of the proofs below
//   dotnet run tests/bench/faults.cs -- kill 100 7      so often, and from this seed on
//   dotnet run tests/bench/faults.cs -- all             every one of them, about three hours on two quiet cores
// The figures come as lines; the exit code is 0 where every promise held.
using System.Diagnostics;

(string Name, string Variable, int Full, string Class, string What)[] proofs =
[
    ("kill", "KILLS", 650, "*KillProofTests", "kills of the service, and a fifth of them of its broker, too"),
    ("power", "CUTS", 2, "BackyardSentinel.PowerCuts.PowerCutTests", "chances at each step at which the power is cut"),
    ("disk", "CUTS", 1, "BackyardSentinel.PowerCuts.DiskFaultTests", "refusals by the disk at each step"),
    ("damage", "DAMAGES", 450, "*DamagedStoreTests", "damaged stores"),
    ("season", "SEASONS", 3, "*SeasonSimulationTests", "seasons of 270 days in which everything goes wrong"),
    ("schedules", "SCHEDULES", 10_000, "*ScheduleSimulationTests", "schedules of what goes wrong, made up at random"),
    ("network", "NETWORK", 10, "BackyardSentinel.Network.Bad*", "minutes of each fault of a line or a name server, by the clock"),
    ("fuzz", "FUZZ", 10_000_000, "*MessageFuzzTests", "messages made up at random"),
];

var program = new[] { "release", "debug" }.Select(
    kind => Path.GetFullPath($"artifacts/bin/BackyardSentinel.Tests/{kind}/BackyardSentinel.Tests"))
    .Where(File.Exists)
    .OrderByDescending(File.GetLastWriteTimeUtc)
    .FirstOrDefault();
if (program is null)
{
    Console.Error.WriteLine("Build the tests first: dotnet build (and stand in the checkout's top folder).");
    return 2;
}

var asked = proofs.Where(proof => args is [var name, ..] && (name == proof.Name || name == "all")).ToList();
if (asked.Count == 0 || args.Skip(1).Any(arg => !int.TryParse(arg, out _)))
{
    Console.Error.WriteLine("faults.cs PROOF [HOW OFTEN [SEED]], where PROOF is all or one of");
    foreach (var (name, _, full, _, what) in proofs)
        Console.Error.WriteLine($"  {name,-9} {full:#,0} {what}");
    return 2;
}

var failed = 0;
foreach (var (name, variable, full, tests, what) in asked)
{
    var count = args.Length > 1 ? args[1] : $"{full}";
    Console.WriteLine($"{name}: {count} {what}");
    var watch = Stopwatch.StartNew();
    var start = new ProcessStartInfo(program, ["-noColor", "-noLogo", "-diagnostics", "-class", tests]) { RedirectStandardOutput = true };
    start.Environment[$"BACKYARD_SENTINEL_{variable}"] = count;
    if (args.Length > 2)
        start.Environment["BACKYARD_SENTINEL_SEED"] = args[2];
    using var process = Process.Start(start)!;
    while (process.StandardOutput.ReadLine() is { } line)
    {
        const string Mark = "[D::BackyardSentinel.Tests] ";
        var figure = line.IndexOf(Mark, StringComparison.Ordinal);
        if (figure >= 0)
            Console.WriteLine("  " + line[(figure + Mark.Length)..]);
        else if (line.StartsWith("    ", StringComparison.Ordinal))
            Console.WriteLine("  " + line.Trim());
    }

    process.WaitForExit();
    failed += process.ExitCode == 0 ? 0 : 1;
    Console.WriteLine($"  {(process.ExitCode == 0 ? "held" : "DID NOT HOLD")}, {watch.Elapsed.TotalMinutes:0.0} minutes");
}

return failed == 0 ? 0 : 1;
