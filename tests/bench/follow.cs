#:property PublishAot=false
#:property TreatWarningsAsErrors=false
#:property RestorePackagesWithLockFile=false
#:package SharpFuzz

// Feeds the readers of what comes from outside with inputs that a tool invents, which follows the branches the code takes and goes on
// from what leads to new ones. It wants AFL++ (Debian: apt-get install afl++), so it runs on demand only; what it has found is
// tried in every run of the tests. After a Release build, in the checkout's top folder:
//   dotnet run tests/bench/follow.cs -- sensors 20        messages of sensors, for 20 minutes
//   dotnet run tests/bench/follow.cs -- logs 5            also forecasts, garden (the garden file), entries (journal and answers)
//   dotnet run tests/bench/follow.cs -- keep logs         the fewest inputs that reach what the last run reached, for the tests
// Works on copies in artifacts/follow; those of our two assemblies are changed so that they tell their branches. Prints what each input
// that failed gave, made as short as it can be, and ends with 1 if there is any.
using System.Diagnostics;
using System.IO.Compression;
using System.Text;
using System.Text.Encodings.Web;
using System.Text.Json;
using SharpFuzz;

const int MostTold = 6;
string[] readers = ["sensors", "logs", "forecasts", "garden", "entries"];
var keep = args is ["keep", ..];
if (args.Length != 2 || !readers.Contains(keep ? args[1] : args[0]) || (!keep && !int.TryParse(args[1], out _)))
{
    Console.Error.WriteLine($"follow.cs READER MINUTES, or follow.cs keep READER, where READER is one of {string.Join(", ", readers)}");
    return 2;
}

var built = Path.GetFullPath("artifacts/bin/BackyardSentinel.Tests/release");
if (!File.Exists(Path.Combine(built, "BackyardSentinel.Tests.dll")))
{
    Console.Error.WriteLine("Build first: dotnet build -c Release (and stand in the checkout's top folder).");
    return 2;
}

if (Installed("afl-fuzz") is null || Installed("dotnet") is not { } dotnet)
{
    Console.Error.WriteLine("There is no afl-fuzz on this machine. On Debian and its like: apt-get install afl++");
    return 2;
}

var name = keep ? args[1] : args[0];
var place = Path.GetFullPath("artifacts/follow");
var (program, work) = (Path.Combine(place, "program"), Path.Combine(place, name));
string[] target = Target(program), plain = Target(built);
var (inputs, found) = (Path.Combine(work, "inputs"), Path.Combine(work, "out", "default"));
if (keep)
    return Keep();

CopyProgram();
if (Directory.Exists(work))
    Directory.Delete(work, recursive: true);
Directory.CreateDirectory(Path.Combine(work, "empty"));
Run(plain[0], [.. plain[1..], work]);
Console.WriteLine($"{name}: {Directory.GetFiles(inputs).Length} inputs to begin with, {args[1]} minutes");
Run("afl-fuzz", [
    "-i", inputs, "-o", Path.Combine(work, "out"), "-x", Path.Combine(work, "words"), "-m", "none", "-t", "10000",
    "-G", "4000", "-V", $"{60 * int.Parse(args[1])}", "--", .. target]);

var stats = File.ReadLines(Path.Combine(found, "fuzzer_stats"))
    .Select(line => line.Split(':', 2, StringSplitOptions.TrimEntries))
    .ToDictionary(pair => pair[0], pair => pair[1]);
Console.WriteLine(
    $"{long.Parse(stats["execs_done"]):#,0} executions in {int.Parse(stats["run_time"]) / 60.0:0.0} minutes; "
        + $"{stats["edges_found"]} branches, {stats["corpus_count"]} inputs that led to new ones; "
        + $"{stats["saved_crashes"]} failed, {stats["saved_hangs"]} took longer than 10 s");
List<string> failures =
    [.. Directory.GetFiles(Path.Combine(found, "crashes"), "id*"), .. Directory.GetFiles(Path.Combine(found, "hangs"), "id*")];
foreach (var failure in failures.Take(MostTold))
    Tell(failure);
if (failures.Count > MostTold)
    Console.WriteLine($"and {failures.Count - MostTold} more in {found}");
return failures.Count == 0 ? 0 : 1;

static string? Installed(string command) => (Environment.GetEnvironmentVariable("PATH") ?? "").Split(':')
    .Select(folder => Path.Combine(folder, command))
    .FirstOrDefault(File.Exists);

string[] Target(string folder) => [dotnet, Path.Combine(folder, "BackyardSentinel.Tests.dll"), "fuzz", name];

void CopyProgram()
{
    if (Directory.Exists(program))
        Directory.Delete(program, recursive: true);
    Directory.CreateDirectory(program);
    foreach (var file in Directory.EnumerateFiles(built).Where(file => Path.GetExtension(file) is ".dll" or ".json" or ".pdb"))
        File.Copy(file, Path.Combine(program, Path.GetFileName(file)));
    Fuzzer.Instrument(Path.Combine(program, "BackyardSentinel.Core.dll"), _ => true, Options.Value);
    Fuzzer.Instrument(Path.Combine(program, "backyard-sentinel.dll"), _ => true, Options.Value);
}

// As short as it can be, and what it gave; what took too long is only named.
void Tell(string failure)
{
    Console.WriteLine(failure);
    if (failure.Contains("/hangs/"))
        return;
    var shorter = Path.Combine(work, Path.GetFileName(failure).Split(',')[0].Replace(':', '-'));
    Run("afl-tmin", ["-i", failure, "-o", shorter, "-m", "none", "-t", "10000", "-e", "--", .. target]);
    var bytes = File.ReadAllBytes(File.Exists(shorter) ? shorter : failure);
    Console.WriteLine($"  {Written(bytes)}");
    foreach (var line in Run(plain[0], plain[1..], bytes).Split('\n').Take(4))
        Console.WriteLine($"  {line}");
}

int Keep()
{
    var fewest = Path.Combine(work, "fewest");
    if (Directory.Exists(fewest))
        Directory.Delete(fewest, recursive: true);
    Run("afl-cmin", ["-i", Path.Combine(found, "queue"), "-o", fewest, "-m", "none", "-t", "10000", "--", .. target]);
    var kept = Path.GetFullPath($"tests/payloads/followed/{name}.jsonl.gz");
    Directory.CreateDirectory(Path.GetDirectoryName(kept)!);
    // What the tests begin with is there already.
    var seeds = Directory.EnumerateFiles(inputs, "seed*").Select(File.ReadAllBytes).Select(Written);
    var all = Directory.EnumerateFiles(fewest).Select(File.ReadAllBytes).OrderBy(input => input.Length).Select(Written);
    var lines = all.Except(seeds).ToList();
    using (StreamWriter into = new(new GZipStream(File.Create(kept), CompressionLevel.SmallestSize)))
        lines.ForEach(line => into.Write(line + "\n"));
    Console.WriteLine($"{kept}: {lines.Count} inputs, {new FileInfo(kept).Length:#,0} bytes");
    return 0;
}

static string Written(byte[] bytes) =>
    JsonSerializer.Serialize(Encoding.Latin1.GetString(bytes), new JsonSerializerOptions
    {
        Encoder = JavaScriptEncoder.UnsafeRelaxedJsonEscaping,
        TypeInfoResolver = new System.Text.Json.Serialization.Metadata.DefaultJsonTypeInfoResolver(),
    });

// What it says on both outputs. The working folder is empty, so that no name in an input leads to a file.
string Run(string command, string[] arguments, byte[]? input = null)
{
    var start = new ProcessStartInfo(command, arguments)
    {
        RedirectStandardOutput = true,
        RedirectStandardError = true,
        RedirectStandardInput = true,
        WorkingDirectory = Path.Combine(work, "empty"),
    };
    foreach (var word in "SKIP_BIN_CHECK I_DONT_CARE_ABOUT_MISSING_CRASHES SKIP_CPUFREQ NO_AFFINITY NO_UI NO_COLOR".Split(' '))
        start.Environment[$"AFL_{word}"] = "1";
    start.Environment["TMPDIR"] = work;
    start.Environment["DOTNET_EnableDiagnostics"] = "0";
    using var process = Process.Start(start)!;
    var (told, errors) = (process.StandardOutput.ReadToEndAsync(), process.StandardError.ReadToEndAsync());
    process.StandardInput.BaseStream.Write(input ?? []);
    process.StandardInput.Close();
    process.WaitForExit();
    var said = told.Result + errors.Result;
    if (process.ExitCode != 0 && input is null && !command.EndsWith("tmin"))
        throw new InvalidOperationException($"{command} ended with {process.ExitCode}:\n{said}");
    return said;
}
