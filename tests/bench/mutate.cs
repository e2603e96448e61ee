#:property PublishAot=false
#:property TreatWarningsAsErrors=false
#:property RestorePackagesWithLockFile=false
#:package Microsoft.CodeAnalysis.CSharp

// How many small faults the tests notice. Takes a seeded sample of single changes to the source (a < that becomes <=, a
// constant that is 1 more, a condition turned round, a call left out), builds them all at once into a copy of the checkout,
// each asleep behind a number, notes which test classes come by each of them, and runs those once for each change: first
// the classes of the change's own folder, then the others. A change that no test notices is printed.
//   dotnet run tests/bench/mutate.cs -- core 200 1       the folders of the core that judge: 200 changes, seed 1
//   dotnet run tests/bench/mutate.cs -- program 200 1    Live, Sensors, Delivery and Storage of the program
//   dotnet run tests/bench/mutate.cs -- core 60 1 Planning    one folder only
using System.Collections.Concurrent;
using System.Diagnostics;
using System.Text;
using Microsoft.CodeAnalysis;
using Microsoft.CodeAnalysis.CSharp;
using Microsoft.CodeAnalysis.CSharp.Syntax;
using Microsoft.CodeAnalysis.Text;

if (
    args is not [("core" or "program") and var half, var countText, var seedText, ..]
    || !int.TryParse(countText, out var count)
    || !int.TryParse(seedText, out var seed))
{
    Console.Error.WriteLine("mutate core|program COUNT SEED [FOLDER]");
    return 2;
}

var project = half == "core" ? "src/BackyardSentinel.Core" : "src/BackyardSentinel";

string[] folders =
    args.Length > 3 ? [args[3]]
    : half == "core" ? ["Infection", "Watching", "Planning", "Phenology", "Alerting", "Scouting", "Spraying"]
    : ["Live", "Sensors", "Delivery", "Storage"];

// The core's tests come first; what they let pass, those of the program that compare what comes out of it may notice. Classes that
// start processes or brokers are passed over: too slow for each of hundreds of changes.
string[] own = half == "core" ? ["BackyardSentinel.Core.Tests"] : [];
string[] suites = [.. own, "BackyardSentinel.Tests"];
string[] rooms = ["Live", "Sensors", "Delivery", "Storage", "Hosting", "Forecasts", "Logs", "Commands", "Web", "Report", "Influx"];
string[] slow = ["Process.Start", "ProcessStartInfo", "ServiceProcess", "Mosquitto", "BrokenGardens"];

var copy = Directory.CreateTempSubdirectory("sentinel-mutants-").FullName;
var reached = Path.Combine(copy, "reached");
var clock = Stopwatch.StartNew();
try
{
    CopyCheckout();
    OpenConstants();
    var mutants = Choose();
    Console.WriteLine($"{mutants.Count} changes chosen in {string.Join(", ", folders)}");
    if (!Build(mutants))
        return 2;
    Console.WriteLine($"{mutants.Count} of them compile");
    var classes = Reach();
    Console.Error.WriteLine($"{clock.Elapsed:hh\\:mm\\:ss}  the ways of {classes.Count} test classes are known");

    var fates = new ConcurrentDictionary<Mutant, Fate>();
    Parallel.ForEach(
        Partitioner.Create(mutants, EnumerablePartitionerOptions.NoBuffering),
        new ParallelOptions { MaxDegreeOfParallelism = Environment.ProcessorCount },
        mutant =>
        {
            fates[mutant] = FateOf(mutant, classes);
            if (fates[mutant] < Fate.Noticed)
                Console.Error.WriteLine(Line(mutant, fates[mutant]));
            if (fates.Count % 20 == 0)
            {
                var unnoticed = fates.Values.Count(fate => fate < Fate.Noticed);
                Console.Error.WriteLine($"{clock.Elapsed:hh\\:mm\\:ss}  {fates.Count} of {mutants.Count}, {unnoticed} unnoticed");
            }
        });
    Report(fates);
    return fates.Values.All(fate => fate >= Fate.Noticed) ? 0 : 1;
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

    Directory.CreateDirectory(reached);
    File.WriteAllText(Path.Combine(copy, "src/BackyardSentinel.Core/Mutant.cs"), """
        public static class Mutant
        {
            private static readonly int Awake =
                int.TryParse(System.Environment.GetEnvironmentVariable("SENTINEL_MUTANT"), out var number) ? number : 0;
            private static readonly bool[]? Reached = Recorded(System.Environment.GetEnvironmentVariable("SENTINEL_REACHED"));

            public static bool Is(int number)
            {
                if (Reached is { } reached)
                    reached[number] = true;
                return number == Awake;
            }

            private static bool[]? Recorded(string? folder)
            {
                if (folder is null)
                    return null;
                var reached = new bool[100_000];
                System.AppDomain.CurrentDomain.ProcessExit += (_, _) =>
                {
                    // Below 0: the processor's time, in s.
                    var seconds = (int)System.Environment.CpuUsage.TotalTime.TotalSeconds;
                    System.IO.File.WriteAllLines(
                        System.IO.Path.Combine(folder, System.Guid.NewGuid().ToString()),
                        [
                            .. System.Linq.Enumerable.Range(0, reached.Length)
                                .Where(number => reached[number]).Append(-seconds).Select(number => number.ToString()),
                        ]);
                };
                return reached;
            }
        }
        """);
}

// A constant cannot be changed while the program runs; one that nothing needs as a constant becomes a property.
void OpenConstants()
{
    var sources = Directory.EnumerateFiles(copy, "*.cs", SearchOption.AllDirectories)
        .ToDictionary(path => path, path => CSharpSyntaxTree.ParseText(File.ReadAllText(path)).GetRoot());
    var needed = sources.Values
        .SelectMany(root => root.DescendantNodes())
        .Where(node => node is PatternSyntax or AttributeSyntax or CaseSwitchLabelSyntax or EnumMemberDeclarationSyntax
            || (node is ParameterSyntax { Default: not null })
            || (node is LocalDeclarationStatementSyntax { IsConst: true })
            || (node is FieldDeclarationSyntax field && field.Modifiers.Any(SyntaxKind.ConstKeyword)))
        .SelectMany(node => node.DescendantNodes().OfType<IdentifierNameSyntax>())
        .Select(name => name.Identifier.Text)
        .ToHashSet();
    foreach (var path in folders.SelectMany(SourcesIn))
    {
        var text = File.ReadAllText(path);
        foreach (var field in sources[path].DescendantNodes().OfType<FieldDeclarationSyntax>().Reverse())
        {
            var word = field.Modifiers.FirstOrDefault(modifier => modifier.IsKind(SyntaxKind.ConstKeyword));
            if (word == default || field.Declaration.Variables is not [{ Initializer: { } value } variable])
                continue;
            if (needed.Contains(variable.Identifier.Text) || field.Declaration.Type.ToString() is "string" or "char")
                continue;
            text = text.Remove(value.EqualsToken.SpanStart, 1).Insert(value.EqualsToken.SpanStart, "=>");
            text = text.Remove(word.SpanStart, word.Span.Length).Insert(word.SpanStart, "static");
        }

        File.WriteAllText(path, text);
    }
}

// Examples of messages are samples, whatever their figures.
IEnumerable<string> SourcesIn(string folder) =>
    Directory.EnumerateFiles(Path.Combine(copy, project, folder), "*.cs", SearchOption.AllDirectories)
        .Where(path => !Path.GetFileName(path).StartsWith("Example", StringComparison.Ordinal))
        .Order(StringComparer.Ordinal);

List<Mutant> Choose()
{
    var all = new List<Mutant>();
    foreach (var folder in folders)
    {
        foreach (var path in SourcesIn(folder))
        {
            foreach (var node in CSharpSyntaxTree.ParseText(File.ReadAllText(path)).GetRoot().DescendantNodes().Where(CanChange))
            {
                foreach (var (changed, before, after) in ChangesOf(node))
                {
                    var line = node.GetLocation().GetLineSpan().StartLinePosition.Line + 1;
                    all.Add(new Mutant(0, folder, Path.GetRelativePath(copy, path), line, changed.Span, Short(before), after));
                }
            }
        }
    }

    var random = new Random(seed);
    var chosen = all.OrderBy(_ => random.Next()).Take(count).ToList();
    return [.. chosen.Select((mutant, index) => mutant with { Number = index + 1 })];
}

// Constants, attributes and labels take no condition, what is thrown and said is for people; what declares a variable
// cannot be written twice. Where a wait goes on makes no difference to a program of no windows.
static bool CanChange(SyntaxNode node) =>
    !node.AncestorsAndSelf()
        .Any(above =>
            above
                is AttributeSyntax
                    or EnumMemberDeclarationSyntax
                    or CaseSwitchLabelSyntax
                    or CasePatternSwitchLabelSyntax
                    or ParameterSyntax { Default: not null }
                    or LocalDeclarationStatementSyntax { IsConst: true }
                    or ThrowStatementSyntax
                    or ThrowExpressionSyntax
                    or InterpolatedStringExpressionSyntax
                    or ArgumentListSyntax
                    {
                        Parent: InvocationExpressionSyntax
                        {
                            Expression: MemberAccessExpressionSyntax { Name.Identifier.Text: "ConfigureAwait" }
                        }
                    }
            || (above is FieldDeclarationSyntax field && field.Modifiers.Any(SyntaxKind.ConstKeyword))
        ) && !node.DescendantNodesAndSelf().Any(below => below is VariableDesignationSyntax or AwaitExpressionSyntax);

// What is replaced, what is shown of it, and what comes in its place; a statement left out has nothing in its place.
static IEnumerable<(SyntaxNode Changed, string Before, string After)> ChangesOf(SyntaxNode node)
{
    if (node is PatternSyntax)
    {
        if (InPattern(node) is var (whole, after))
            yield return (whole, whole is SwitchExpressionSyntax ? node.Parent!.ToString() : whole.ToString(), after);
        yield break;
    }

    if (node.Ancestors().Any(above => above is PatternSyntax))
        yield break;
    var plain = node switch
    {
        BinaryExpressionSyntax { OperatorToken.Text: "??" } either => $"({either.Right})",
        BinaryExpressionSyntax binary when Other(binary.OperatorToken.Text) is { } other && !ChoosesBetweenItsSides(binary) =>
            $"({binary.Left} {other} {binary.Right})",
        PrefixUnaryExpressionSyntax { OperatorToken.Text: "!" } not => $"({not.Operand})",
        LiteralExpressionSyntax { RawKind: (int)SyntaxKind.NumericLiteralExpression } number => $"({number} + 1)",
        LiteralExpressionSyntax { Token.Text: "true" } => "(false)",
        LiteralExpressionSyntax { Token.Text: "false" } => "(true)",
        MemberAccessExpressionSyntax { Parent: InvocationExpressionSyntax call } member
            when Other(member.Name.Identifier.Text) is { } other => $"{member.Expression}.{other}{call.ArgumentList}",
        ExpressionStatementSyntax { Expression: InvocationExpressionSyntax or AssignmentExpressionSyntax } => "",
        ContinueStatementSyntax or YieldStatementSyntax { RawKind: (int)SyntaxKind.YieldReturnStatement } => "",
        _ => null,
    };
    if (plain is not null)
        yield return (node is MemberAccessExpressionSyntax ? node.Parent! : node, node.ToString(), plain);
    if (
        node is InvocationExpressionSyntax or MemberAccessExpressionSyntax or IdentifierNameSyntax or IsPatternExpressionSyntax
        && (node.Parent is IfStatementSyntax || (node.Parent is ConditionalExpressionSyntax choice && choice.Condition == node)))
    {
        yield return (node, node.ToString(), $"(!({node}))");
    }
}

// Of two that are the same either is the smaller one: a < b ? a : b is the same with <=.
static bool ChoosesBetweenItsSides(BinaryExpressionSyntax binary) =>
    binary.OperatorToken.Text is "<" or "<=" or ">" or ">="
    && binary.Parent is ConditionalExpressionSyntax choice
    && choice.Condition == binary
    && new[] { choice.WhenTrue, choice.WhenFalse }.All(side =>
        SyntaxFactory.AreEquivalent(side, binary.Left) || SyntaxFactory.AreEquivalent(side, binary.Right));

// The sign of a >= 5 within "is" or within an arm of a switch expression: there the whole is written again.
static (SyntaxNode Whole, string After)? InPattern(SyntaxNode node)
{
    if (node is not RelationalPatternSyntax relation || Other(relation.OperatorToken.Text) is not { } other)
        return null;
    var whole = node.Ancestors().FirstOrDefault(above => above is IsPatternExpressionSyntax or SwitchExpressionSyntax);
    if (whole is null || (whole is IsPatternExpressionSyntax && whole.DescendantNodes().Any(below => below is VariableDesignationSyntax)))
        return null;
    var sign = relation.OperatorToken.Span;
    return (whole, $"({whole.ToString().Remove(sign.Start - whole.SpanStart, sign.Length).Insert(sign.Start - whole.SpanStart, other)})");
}

static string? Other(string word) =>
    word switch
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
        "Min" => "Max",
        "Max" => "Min",
        "Any" => "All",
        "All" => "Any",
        "First" => "Last",
        "Last" => "First",
        _ => null,
    };

static string Short(string text)
{
    var line = string.Join(' ', text.Split((char[]?)null, StringSplitOptions.RemoveEmptyEntries));
    return line.Length <= 90 ? line : line[..87] + "...";
}

// All changes are built at once; those that do not compile are dropped, and it is built again.
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
        // The program's tests build all but the core's.
        var (code, output) = (0, "");
        foreach (var suite in suites)
        {
            if (code == 0)
                (code, output) = Run(
                    "dotnet", ["build", $"tests/{suite}", "-v", "q", "-p:RunAnalyzers=false", "-p:TreatWarningsAsErrors=false"], copy);
        }

        if (code == 0)
            return true;
        var wrong = output.Split('\n').Where(line => line.Contains(": error CS", StringComparison.Ordinal)).ToList();
        var bad = wrong.SelectMany(line => At(line, mutants, originals)).ToHashSet();
        if (bad.Count == 0)
        {
            Console.Error.WriteLine(string.Join('\n', wrong.Take(10)));
            return false;
        }

        mutants.RemoveAll(bad.Contains);
    }

    return false;
}

// Changes are woven in without new lines, so that a line of an error is a line of the source. Where none lies on the line,
// the last one before it is to blame: without a "continue" what comes after may lack its variable.
static IEnumerable<Mutant> At(string error, List<Mutant> mutants, Dictionary<string, string> originals)
{
    var inFile = mutants.Where(mutant => error.Contains($"{mutant.File}(", StringComparison.Ordinal)).ToList();
    if (inFile.Count == 0)
        return [];
    var open = error.IndexOf(".cs(", StringComparison.Ordinal) + 4;
    var line = int.Parse(error[open..error.IndexOf(',', open)]) - 1;
    var lines = SourceText.From(originals[inFile[0].File]).Lines;
    int LineOf(int position) => lines.GetLineFromPosition(position).LineNumber;
    var there = inFile.Where(mutant => line >= LineOf(mutant.Span.Start) && line <= LineOf(mutant.Span.End)).ToList();
    return there.Count > 0 ? there : inFile.Where(mutant => LineOf(mutant.Span.End) < line).OrderBy(mutant => mutant.Span.End).TakeLast(1);
}

static string Woven(string text, List<Mutant> mutants)
{
    // From the inside out; what is outside takes up what was woven in inside it.
    var pieces = mutants.OrderBy(mutant => mutant.Span.Start).ThenByDescending(mutant => mutant.Span.Length).ToList();
    return Weave(0, text.Length, pieces);

    string Weave(int start, int end, List<Mutant> inside)
    {
        var woven = new StringBuilder();
        var at = start;
        while (inside.Count > 0)
        {
            var first = inside[0];
            var within = inside.Skip(1).TakeWhile(next => next.Span.Start < first.Span.End).ToList();
            inside = [.. inside.Skip(1 + within.Count)];
            woven.Append(text, at, first.Span.Start - at);
            var kept = Weave(first.Span.Start, first.Span.End, within);
            woven.Append(
                first.After.Length == 0
                    ? $"{{ if (!global::Mutant.Is({first.Number})) {{ {kept} }} }}"
                    : $"(global::Mutant.Is({first.Number}) ? {OnOneLine(first.After)} : ({kept}))");
            at = first.Span.End;
        }

        return woven.Append(text, at, end - at).ToString();
    }
}

static string OnOneLine(string text) =>
    string.Concat(CSharpSyntaxTree.ParseText(text).GetRoot().DescendantTokens().Select(token => $"{token} "));

// Each class alone, nothing changed: which changes it comes by. One that fails twice, not for bad luck with the cases that a
// property draws, is left out, which is said: it would take the credit for every change.
List<TestClass> Reach()
{
    var names = suites
        .SelectMany(suite => Run(ProgramOf(suite), ["-list", "classes", "-noLogo", "-noColor"], copy).Output
            .Split('\n', StringSplitOptions.TrimEntries)
            .Where(name => name.StartsWith("BackyardSentinel.", StringComparison.Ordinal))
            .Where(name => own.Contains(suite) || rooms.Contains(name.Split('.')[^2]))
            .Where(name => !IsSlow(suite, name.Split('.')[^1]))
            .Select(name => (Suite: suite, Name: name)))
        .ToList();
    var classes = new ConcurrentBag<TestClass>();
    Parallel.ForEach(
        Partitioner.Create(names, EnumerablePartitionerOptions.NoBuffering),
        new ParallelOptions { MaxDegreeOfParallelism = Environment.ProcessorCount },
        one =>
        {
            var (suite, name) = one;
            var records = Directory.CreateDirectory(Path.Combine(reached, $"{suite}-{name}")).FullName;
            var timer = Stopwatch.StartNew();
            if (RunTests(suite, [name], 0, TimeSpan.FromMinutes(5), records, Console.Error.WriteLine) != Fate.Unnoticed
                && RunTests(suite, [name], 0, TimeSpan.FromMinutes(5), records, Console.Error.WriteLine) != Fate.Unnoticed)
            {
                Console.Error.WriteLine($"{name} fails without any change and is left out.");
                return;
            }

            // What takes the processor long says little for its time; how busy the machine is beside changes nothing.
            var numbers = Directory.EnumerateFiles(records).SelectMany(File.ReadLines).Select(int.Parse).ToHashSet();
            if (!own.Contains(suite) && numbers.Any(number => number < -30))
                return;
            classes.Add(new TestClass(suite, name, numbers, timer.Elapsed));
        });
    return [.. classes.OrderBy(one => one.Takes)];
}

Fate FateOf(Mutant mutant, List<TestClass> classes)
{
    var reaching = classes.Where(one => one.Reached.Contains(mutant.Number)).ToList();
    if (reaching.Count == 0)
        return Fate.Unreached;
    // Those of the change's own folder, then the rest, a suite after the other.
    foreach (var group in reaching
        .GroupBy(one => (
            Suite: Array.IndexOf(suites, one.Suite),
            IsFar: !one.Name.Contains($".{mutant.Folder}.", StringComparison.Ordinal)))
        .OrderBy(group => group.Key))
    {
        var patience = (3 * TimeSpan.FromTicks(group.Sum(one => one.Takes.Ticks))) + TimeSpan.FromSeconds(20);
        var fate = RunTests(suites[group.Key.Suite], [.. group.Select(one => one.Name)], mutant.Number, patience, null);
        if (fate != Fate.Unnoticed)
            return fate;
    }

    return Fate.Unnoticed;
}

string ProgramOf(string suite) => Path.Combine(copy, $"artifacts/bin/{suite}/debug/{suite}");

Fate RunTests(string suite, string[] classes, int number, TimeSpan patience, string? records, Action<string>? hear = null)
{
    string[] arguments = ["-stopOnFail", "-noLogo", "-noColor", .. classes.SelectMany(name => new[] { "-class", name })];
    using var process = new Process
    {
        StartInfo = new ProcessStartInfo(ProgramOf(suite), arguments)
        {
            WorkingDirectory = copy,
            RedirectStandardOutput = true,
            RedirectStandardError = true,
        },
    };
    process.StartInfo.Environment["SENTINEL_MUTANT"] = number.ToString();
    process.StartInfo.Environment["DOTNET_TieredPGO"] = "0";
    if (records is not null)
        process.StartInfo.Environment["SENTINEL_REACHED"] = records;
    process.OutputDataReceived += (_, line) =>
    {
        if (line.Data?.Contains("[FAIL]", StringComparison.Ordinal) == true)
            hear?.Invoke(line.Data);
    };
    process.ErrorDataReceived += (_, _) => { };
    process.Start();
    process.BeginOutputReadLine();
    process.BeginErrorReadLine();
    if (process.WaitForExit(patience))
        return process.ExitCode == 0 ? Fate.Unnoticed : Fate.Noticed;
    process.Kill(true);
    return Fate.RanOutOfTime;
}

bool IsSlow(string suite, string name) => Directory
    .EnumerateFiles(Path.Combine(copy, "tests", suite), $"{name}.cs", SearchOption.AllDirectories)
    .Select(File.ReadAllText)
    .Any(text => slow.Any(word => text.Contains(word, StringComparison.Ordinal)));

void Report(IReadOnlyDictionary<Mutant, Fate> fates)
{
    Console.WriteLine();
    foreach (var folder in fates.GroupBy(pair => pair.Key.Folder).OrderBy(group => group.Key, StringComparer.Ordinal))
        Score(folder.Key, [.. folder.Select(pair => pair.Value)]);
    Score("all", [.. fates.Values]);
    var endless = fates.Values.Count(fate => fate == Fate.RanOutOfTime);
    Console.WriteLine($"{endless} were noticed by tests that did not end. {clock.Elapsed:hh\\:mm\\:ss} in all.");
    Console.WriteLine();
    var living = fates.Where(pair => pair.Value < Fate.Noticed);
    foreach (var (mutant, fate) in living.OrderBy(pair => pair.Key.File, StringComparer.Ordinal).ThenBy(pair => pair.Key.Line))
        Console.WriteLine(Line(mutant, fate));
}

static string Line(Mutant mutant, Fate fate)
{
    var after = mutant.After.Length == 0 ? "left out" : Short(mutant.After);
    return $"{mutant.File}:{mutant.Line}  {mutant.Before}  →  {after}{(fate == Fate.Unreached ? "  (no test comes here)" : "")}";
}

static void Score(string name, Fate[] fates)
{
    var noticed = fates.Count(fate => fate >= Fate.Noticed);
    Console.WriteLine($"{name, -12} {noticed, 4} of {fates.Length, 4} noticed  {100.0 * noticed / fates.Length:0.0} %");
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

internal enum Fate
{
    Unreached,
    Unnoticed,
    Noticed,
    RanOutOfTime,
}

internal sealed record TestClass(string Suite, string Name, HashSet<int> Reached, TimeSpan Takes);

internal sealed record Mutant(int Number, string Folder, string File, int Line, TextSpan Span, string Before, string After);
