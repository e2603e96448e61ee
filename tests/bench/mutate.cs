#:property PublishAot=false
#:property TreatWarningsAsErrors=false
#:property RestorePackagesWithLockFile=false
#:package Microsoft.CodeAnalysis.CSharp

// How many small faults the tests notice. Takes a seeded sample of single changes to the source (a < that becomes <=, a
// condition turned round, a call left out), builds them all at once into a copy of the checkout, each asleep behind a
// number, and runs the tests once for each change. A change that no test notices is printed.
//   dotnet run tests/bench/mutate.cs -- core 200 1       the folders of the core that judge: 200 changes, seed 1
//   dotnet run tests/bench/mutate.cs -- program 200 1    Live, Sensors, Delivery and Storage of the program
//   dotnet run tests/bench/mutate.cs -- core 60 1 Planning    one folder only
using System.Collections.Concurrent;
using System.Diagnostics;
using Microsoft.CodeAnalysis;
using Microsoft.CodeAnalysis.CSharp;
using Microsoft.CodeAnalysis.CSharp.Syntax;

if (
    args is not [("core" or "program") and var half, var countText, var seedText, ..]
    || !int.TryParse(countText, out var count)
    || !int.TryParse(seedText, out var seed))
{
    Console.Error.WriteLine("mutate core|program COUNT SEED [FOLDER]");
    return 2;
}

var inCore = half == "core";
var (project, testProject) = inCore
    ? ("src/BackyardSentinel.Core", "BackyardSentinel.Core.Tests")
    : ("src/BackyardSentinel", "BackyardSentinel.Tests");
string[] folders =
    args.Length > 3 ? [args[3]]
    : inCore ? ["Infection", "Watching", "Planning", "Phenology", "Alerting", "Scouting", "Spraying"]
    : ["Live", "Sensors", "Delivery", "Storage"];

var copy = Directory.CreateTempSubdirectory("sentinel-mutants-").FullName;
try
{
    CopyCheckout();
    var mutants = Choose();
    Console.WriteLine($"{mutants.Count} changes chosen in {string.Join(", ", folders)}");
    if (!Build(mutants))
        return 2;
    Console.WriteLine($"{mutants.Count} of them compile");
    var clock = Stopwatch.StartNew();
    if (!TestsPass(0, TimeSpan.FromMinutes(10)))
    {
        Console.Error.WriteLine("The tests fail without any change; mend that first.");
        return 2;
    }

    var patience = (3 * clock.Elapsed) + TimeSpan.FromSeconds(20);
    var survivors = new ConcurrentBag<Mutant>();
    var done = 0;
    Parallel.ForEach(
        mutants,
        new ParallelOptions { MaxDegreeOfParallelism = inCore ? Environment.ProcessorCount : 1 },
        mutant =>
        {
            if (TestsPass(mutant.Number, patience))
                survivors.Add(mutant);
            if (Interlocked.Increment(ref done) % 20 == 0)
                Console.Error.WriteLine($"{done} of {mutants.Count}, {survivors.Count} unnoticed, {clock.Elapsed:hh\\:mm\\:ss}");
        });

    Console.WriteLine();
    foreach (var folder in mutants.GroupBy(mutant => mutant.Folder).OrderBy(group => group.Key, StringComparer.Ordinal))
    {
        var lived = survivors.Count(mutant => mutant.Folder == folder.Key);
        Console.WriteLine(
            $"{folder.Key, -12} {folder.Count() - lived, 4} of {folder.Count(), 4} noticed  {100.0 * (folder.Count() - lived) / folder.Count():0} %");
    }

    Console.WriteLine(
        $"{"all", -12} {mutants.Count - survivors.Count, 4} of {mutants.Count, 4} noticed  {100.0 * (mutants.Count - survivors.Count) / mutants.Count:0.0} %");
    Console.WriteLine();
    foreach (var mutant in survivors.OrderBy(mutant => mutant.File, StringComparer.Ordinal).ThenBy(mutant => mutant.Line))
        Console.WriteLine($"{mutant.File}:{mutant.Line}  {mutant.Before}  →  {mutant.After}");
    return survivors.IsEmpty ? 0 : 1;
}
finally
{
    Directory.Delete(copy, true);
}

void CopyCheckout()
{
    var list = Run("git", ["ls-files", "-z"], Environment.CurrentDirectory).Output.Split('\0', StringSplitOptions.RemoveEmptyEntries);
    foreach (var file in list.Where(File.Exists))
    {
        var target = Path.Combine(copy, file);
        Directory.CreateDirectory(Path.GetDirectoryName(target)!);
        File.Copy(file, target);
    }

    File.WriteAllText(Path.Combine(copy, "src/BackyardSentinel.Core/Mutant.cs"), """
        public static class Mutant
        {
            private static readonly int Awake = int.TryParse(System.Environment.GetEnvironmentVariable("SENTINEL_MUTANT"), out var number) ? number : 0;
            public static bool Is(int number) => number == Awake;
        }
        """);
}

List<Mutant> Choose()
{
    var all = new List<Mutant>();
    foreach (var folder in folders)
    {
        foreach (
            var path in Directory
                .EnumerateFiles(Path.Combine(copy, project, folder), "*.cs", SearchOption.AllDirectories)
                .Order(StringComparer.Ordinal))
        {
            var root = CSharpSyntaxTree.ParseText(File.ReadAllText(path)).GetRoot();
            foreach (var node in root.DescendantNodes().Where(IsChangeable))
            {
                if (ChangeOf(node) is { } after)
                    all.Add(
                        new Mutant(
                            0,
                            folder,
                            Path.GetRelativePath(copy, path),
                            node.GetLocation().GetLineSpan().StartLinePosition.Line + 1,
                            node.Span,
                            Short(node.ToString()),
                            after));
            }
        }
    }

    var random = new Random(seed);
    var chosen = all.OrderBy(_ => random.Next()).Take(count).ToList();
    return [.. chosen.Select((mutant, index) => mutant with { Number = index + 1 })];
}

// Constants, attributes and labels take no condition; what declares a variable cannot be written twice.
static bool IsChangeable(SyntaxNode node) =>
    !node.AncestorsAndSelf()
        .Any(above =>
            above
                is AttributeSyntax
                    or EnumMemberDeclarationSyntax
                    or CaseSwitchLabelSyntax
                    or PatternSyntax
                    or ParameterSyntax { Default: not null }
                    or LocalDeclarationStatementSyntax { IsConst: true }
                    or ThrowStatementSyntax
                    or ThrowExpressionSyntax
                    or InterpolatedStringExpressionSyntax
            || (above is FieldDeclarationSyntax field && field.Modifiers.Any(SyntaxKind.ConstKeyword))
        ) && !node.DescendantNodesAndSelf().Any(below => below is VariableDesignationSyntax or AwaitExpressionSyntax);

static string? ChangeOf(SyntaxNode node) => node switch
{
    BinaryExpressionSyntax binary when Other(binary.OperatorToken.Text) is { } other => $"({binary.Left} {other} {binary.Right})",
    PrefixUnaryExpressionSyntax { OperatorToken.Text: "!" } not => $"({not.Operand})",
    LiteralExpressionSyntax { RawKind: (int)SyntaxKind.NumericLiteralExpression } number => $"({number} + 1)",
    LiteralExpressionSyntax { Token.Text: "true" } => "(false)",
    LiteralExpressionSyntax { Token.Text: "false" } => "(true)",
    ExpressionStatementSyntax { Expression: InvocationExpressionSyntax or AssignmentExpressionSyntax } => "",
    _ => null,
};

static string? Other(string sign) =>
    sign switch
    {
        "<" => "<=",
        "<=" => "<",
        ">" => ">=",
        ">=" => ">",
        "==" => "!=",
        "!=" => "==",
        "&&" => "||",
        "||" => "&&",
        "+" => "-",
        "-" => "+",
        "*" => "/",
        "/" => "*",
        _ => null,
    };

static string Short(string text)
{
    var line = string.Join(' ', text.Split((char[]?)null, StringSplitOptions.RemoveEmptyEntries));
    return line.Length <= 90 ? line : line[..87] + "...";
}

bool Build(List<Mutant> mutants)
{
    var originals = mutants
        .Select(mutant => mutant.File)
        .Distinct()
        .ToDictionary(file => file, file => File.ReadAllText(Path.Combine(copy, file)));
    for (var round = 0; round < 12; round++)
    {
        foreach (var (file, text) in originals)
            File.WriteAllText(Path.Combine(copy, file), Woven(text, [.. mutants.Where(mutant => mutant.File == file)]));
        var (code, output) = Run(
            "dotnet",
            ["build", $"tests/{testProject}", "-v", "q", "-p:RunAnalyzers=false", "-p:TreatWarningsAsErrors=false"],
            copy);
        if (code == 0)
            return true;
        var wrong = output.Split('\n').Where(line => line.Contains(": error CS", StringComparison.Ordinal)).ToList();
        var dropped = mutants.RemoveAll(mutant =>
            wrong.Any(line =>
                line.Contains($"{Path.GetFileName(mutant.File)}(", StringComparison.Ordinal)
                && HitsLine(mutant, line, originals[mutant.File])));
        if (dropped == 0)
        {
            Console.Error.WriteLine(string.Join('\n', wrong.Take(10)));
            return false;
        }
    }

    return false;
}

// Changes are woven in without new lines, so that a line of an error is a line of the source.
static bool HitsLine(Mutant mutant, string error, string original)
{
    var open = error.IndexOf(".cs(", StringComparison.Ordinal) + 4;
    var line = int.Parse(error[open..error.IndexOf(',', open)]);
    var last = mutant.Line + original.Substring(mutant.Span.Start, mutant.Span.Length).Count(letter => letter == '\n');
    return line >= mutant.Line && line <= last;
}

static string Woven(string text, List<Mutant> mutants)
{
    // From the inside out; what is outside takes up what was woven in inside it.
    var pieces = mutants.OrderBy(mutant => mutant.Span.Start).ThenByDescending(mutant => mutant.Span.Length).ToList();
    return Weave(0, text.Length, pieces);

    string Weave(int start, int end, List<Mutant> inside)
    {
        var woven = new System.Text.StringBuilder();
        var at = start;
        while (inside.Count > 0)
        {
            var first = inside[0];
            var within = inside.Skip(1).TakeWhile(next => next.Span.Start < first.Span.End).ToList();
            inside = [.. inside.Skip(1 + within.Count)];
            woven.Append(text, at, first.Span.Start - at);
            var kept = Weave(first.Span.Start, first.Span.End, within);
            var after = first.After.Replace('\n', ' ').Replace('\r', ' ');
            woven.Append(
                after.Length == 0
                    ? $"if (!global::Mutant.Is({first.Number})) {{ {kept} }}"
                    : $"(global::Mutant.Is({first.Number}) ? {after} : ({kept}))");
            at = first.Span.End;
        }

        return woven.Append(text, at, end - at).ToString();
    }
}

bool TestsPass(int number, TimeSpan patience)
{
    List<string> arguments = ["-stopOnFail", "-noLogo", "-noColor"];
    // The proofs start whole processes and brokers: too slow for each of hundreds of changes, and not what is measured here.
    if (!inCore)
        arguments.AddRange(folders.SelectMany(folder => new[] { "-namespace", $"*.{folder}" }));

    using var process = new Process
    {
        StartInfo = new ProcessStartInfo(Path.Combine(copy, $"artifacts/bin/{testProject}/debug/{testProject}"), arguments)
        {
            WorkingDirectory = copy,
            RedirectStandardOutput = true,
            RedirectStandardError = true,
        },
    };
    process.StartInfo.Environment["SENTINEL_MUTANT"] = number.ToString();
    process.OutputDataReceived += (_, _) => { };
    process.ErrorDataReceived += (_, _) => { };
    process.Start();
    process.BeginOutputReadLine();
    process.BeginErrorReadLine();
    if (process.WaitForExit(patience))
        return process.ExitCode == 0;
    process.Kill(true);
    return false;
}

static (int Code, string Output) Run(string program, string[] arguments, string folder)
{
    using var process = Process.Start(
        new ProcessStartInfo(program, arguments) { WorkingDirectory = folder, RedirectStandardOutput = true }
    )!;
    var output = process.StandardOutput.ReadToEnd();
    process.WaitForExit();
    return (process.ExitCode, output);
}

internal sealed record Mutant(
    int Number,
    string Folder,
    string File,
    int Line,
    Microsoft.CodeAnalysis.Text.TextSpan Span,
    string Before,
    string After);
