using System.CommandLine;
using System.Text.Json.Nodes;
using System.Text.RegularExpressions;
using BackyardSentinel.Commands;

namespace BackyardSentinel.Tests;

/// <summary>
/// What the documents show is what comes out. A block marked <c>console</c> is run, one document in one folder with the
/// example garden in it: a line that begins with <c>$</c> is a command, what follows is its output, and <c>…</c> stands for
/// what is left out, lines or the rest of one. A block marked <c>sh</c> has commands that need more than this program, and
/// is only read; <c>json NAME</c> satisfies the schema of that name; <c>yaml</c> is part of a garden file.
/// </summary>
public sealed partial class DocumentedCommandsTests
{
    private const string Program = "backyard-sentinel";

    /// <summary>The clock of all samples.</summary>
    private static readonly DateTimeOffset Now = new(2027, 4, 21, 10, 0, 0, TimeSpan.Zero);

    [GeneratedRegex("^```([^\n]*)\n(.*?)^```$", RegexOptions.Singleline | RegexOptions.Multiline)]
    private static partial Regex Fence();

    [GeneratedRegex("`(?:sudo )?(?:/opt/backyard-sentinel/)?backyard-sentinel ([^`]+)`")]
    private static partial Regex Inline();

    [GeneratedRegex("\"([^\"]*)\"|'([^']*)'|(\\S+)")]
    private static partial Regex Word();

    public static TheoryData<string> Documents =>
        [.. Directory
            .EnumerateFiles(Checkout.Path("docs"), "*.md")
            .Append(Checkout.Path("README.md"))
            .Select(path => Path.GetRelativePath(Checkout.Root, path))];

    private static List<(string Kind, string Text)> Blocks(string document) =>
        [.. Fence()
            .Matches(File.ReadAllText(Checkout.Path(document)))
            .Select(match => (match.Groups[1].Value, match.Groups[2].Value))];

    [Theory]
    [MemberData(nameof(Documents))]
    public void Every_command_gives_the_output_below_it(string document)
    {
        using var folder = new Scratch();
        foreach (var (command, expected) in Blocks(document).Where(block => block.Kind == "console").SelectMany(block => Runs(block.Text)))
        {
            var (code, output) = folder.Run(command);
            Assert.True(code is ExitCode.Done or ExitCode.Findings, $"{document}: {command} ended with {code}: {output}");
            Assert.True(Matches(expected, output), $"{document}: {command} gives\n{output}\nand not\n{string.Join('\n', expected)}");
        }
    }

    [Theory]
    [MemberData(nameof(Documents))]
    public void Every_command_that_is_not_run_has_words_and_options_that_the_program_knows(string document)
    {
        var commands = Blocks(document)
            .Where(block => block.Kind == "sh")
            .SelectMany(block => block.Text.Split('\n'))
            .Where(line => line.StartsWith(Program + " ", StringComparison.Ordinal))
            .Select(line => line.Split(" #")[0][(Program.Length + 1)..])
            .Concat(
                Inline()
                    .Matches(Fence().Replace(File.ReadAllText(Checkout.Path(document)), ""))
                    .Select(match => match.Groups[1].Value));
        Assert.All(
            commands,
            command => Assert.Empty(Root().Parse([.. Words(command)]).Errors.Select(error => $"{command}: {error.Message}")));
    }

    [Theory]
    [MemberData(nameof(Documents))]
    public void No_command_hides_in_a_block_that_is_neither_run_nor_marked(string document)
    {
        foreach (var (kind, text) in Blocks(document))
        {
            Assert.True(kind is not "", $"{document}: a block without a kind: {text}");
            if (kind is not ("console" or "sh"))
                Assert.DoesNotMatch($"(?m)^(\\$ )?({Program}|dotnet) ", text);
        }

        // Those that no test runs stay few.
        Assert.InRange(Blocks(document).Count(block => block.Kind == "sh"), 0, 3);
    }

    [Theory]
    [MemberData(nameof(Documents))]
    public void Every_json_sample_satisfies_its_schema(string document)
    {
        foreach (var (kind, text) in Blocks(document).Where(block => block.Kind.StartsWith("json", StringComparison.Ordinal)))
        {
            string[] parts = kind.Split(' ');
            var samples = parts[0] == "jsonl" ? text.Split('\n', StringSplitOptions.RemoveEmptyEntries) : [text];
            foreach (var sample in samples)
            {
                Assert.NotNull(JsonNode.Parse(sample));
                if (parts.Length > 1)
                    Assert.True(SchemaTests.Holds(parts[1], sample), $"{document}: not of the schema {parts[1]}: {sample}");
            }
        }
    }

    [Theory]
    [MemberData(nameof(Documents))]
    public void Every_yaml_sample_passes_check_in_a_garden_file(string document)
    {
        using var folder = new Scratch();
        // An entry of series, or series for many sites, is held to what it reads by SensorExamplesTests.
        var samples = Blocks(document)
            .Where(block => block.Kind == "yaml")
            .Where(
                block =>
                    !block.Text.StartsWith("- ", StringComparison.Ordinal) && !block.Text.StartsWith("series:", StringComparison.Ordinal));
        foreach (var (_, text) in samples)
        {
            var (code, output) = folder.Run($"{Program} check --garden {folder.Write("sample.yaml", Garden(text))}");
            Assert.True(code == ExitCode.Done, $"{document}: {output}\n{Garden(text)}");
        }
    }

    [Fact]
    public void Every_command_is_made_by_its_own_name_and_stands_in_the_readme()
    {
        var readme = File.ReadAllText(Checkout.Path("README.md"));
        var names = Root().Subcommands.Select(command => command.Name).ToList();
        Assert.All(
            names,
            name =>
            {
                Assert.Equal([name], Root(name).Subcommands.Select(command => command.Name));
                Assert.Matches($"(?m)^\\|.*`{name}[ `]", readme);
            });
    }

    [Fact]
    public void A_sample_that_no_longer_comes_out_is_noticed()
    {
        Assert.True(Matches(["one", "…", "four …"], "one\ntwo\nthree\nfour and more\n"));
        Assert.False(Matches(["one", "three"], "one\ntwo\nthree\n"));
        Assert.False(Matches(["one"], "one\ntwo\n"));
        Assert.False(Matches(["one", "two"], "one\n"));
        Assert.False(Matches(["one", "…", "four"], "one\ntwo\n"));
        var (command, output) = Assert.Single(Runs("$ backyard-sentinel check\ngood\n"));
        Assert.Equal("backyard-sentinel check", command);
        Assert.Equal(["good"], output);
    }

    /// <summary>A sample is a whole section of the garden file, or what stands below <c>forecast</c>.</summary>
    private static string Garden(string sample)
    {
        const string Base = """
            name: Tannery Lane
            sites:
              - id: south-wall
                latitude: 46.05
                longitude: 14.51
                series:
                  - { quantity: temperature, topic: garden/t }
                  - { quantity: humidity, topic: garden/h }
                  - { quantity: rain, topic: garden/r }
                plantings: [{ id: white-peach, kind: peach, chill_need: 60 }]

            """;
        var first = sample[..sample.IndexOf(':', StringComparison.Ordinal)];
        if (first is "alerts" or "capture" or "forecast" or "broker" or "store" or "products" or "rules" or "influx")
            return Base + sample;
        var source = first == "headers"
            ? "  kind: http\n  url: https://weather.example/\n  contact: garden@example.org\n"
            : "  kind: mqtt\n  topic: weather/forecast\n";
        return Base + "forecast:\n" + source + string.Concat(sample.TrimEnd().Split('\n').Select(line => $"  {line}\n"));
    }

    private static IEnumerable<(string Command, List<string> Output)> Runs(string block)
    {
        (string Command, List<string> Output)? run = null;
        foreach (var line in block.TrimEnd('\n').Split('\n'))
        {
            if (line.StartsWith("$ ", StringComparison.Ordinal))
            {
                if (run is { } whole)
                    yield return whole;
                run = (line[2..], []);
            }
            else
            {
                Assert.True(run is not null, $"Output without a command: {line}");
                run.Value.Output.Add(line.TrimEnd());
            }
        }

        if (run is { } last)
            yield return last;
    }

    private static bool Matches(List<string> expected, string output)
    {
        var pattern = string.Concat(expected.Select(line =>
            line == "…" ? "(.*\n)*?"
            : line.EndsWith('…') ? Regex.Escape(line[..^1].TrimEnd()) + ".*\n"
            : Regex.Escape(line) + "\n"));
        var lines = output.TrimEnd().Split('\n').Select(line => line.TrimEnd() + "\n");
        return Regex.IsMatch(string.Concat(lines), $"\\A{(expected.Count == 0 ? "\n?" : pattern)}\\z");
    }

    private static IEnumerable<string> Words(string command) =>
        Word().Matches(command).Select(match => match.Groups.Values.Skip(1).First(group => group.Success).Value);

    private static RootCommand Root(string? name = null)
    {
        var verbose = new Option<bool>("--verbose") { Recursive = true };
        var root = new RootCommand { verbose };
        foreach (var command in CommandList.For(name, verbose, new FakeTimeProvider(Now)))
            root.Add(command);
        return root;
    }

    /// <summary>A folder with the example garden, the store of a service that has run, and files that samples name.</summary>
    private sealed class Scratch : IDisposable
    {
        private readonly string _folder = Directory.CreateTempSubdirectory("sentinel-docs-").FullName;

        public Scratch()
        {
            string[] shipped = [Checkout.Path("config"), Checkout.Path("docs", "examples")];
            foreach (var file in shipped.SelectMany(folder => Directory.EnumerateFiles(folder, "*", SearchOption.AllDirectories)))
                Copy(file, Path.GetRelativePath(Checkout.Root, file));
            var garden = File.ReadAllText(Checkout.Path("config", "garden.yaml"));
            var scenarios = Checkout.Path("tests", "scenarios", "plan");
            Write("my-garden.yaml", garden);
            Write("forecast.json", File.ReadAllText(Path.Combine(scenarios, "shared", "january.json")));
            Write("journal.jsonl", File.ReadAllText(Path.Combine(scenarios, "peach-in-january", "journal.jsonl")));
            foreach (var file in new[] { "my-garden.yaml", "config/garden.yaml" })
            {
                using var store = SentinelStore.Open(Stored(GardenFileReader.Read(In(file)).Garden!.Store.Path));
                var batch = new StoreBatch();
                foreach (var (minute, celsius) in new[] { (2, 77.0), (11, 78.0) })
                {
                    var at = new DateTimeOffset(2027, 3, 4, 10, minute, 0, TimeSpan.Zero).ToUnixTimeMilliseconds() * 1000;
                    batch.Quarantine.Add(
                        new QuarantinedMessage(
                            "yard/log",
                            $"temperature cannot be: -60 to 60 °C are taken; is the unit °F?",
                            at,
                            Encoding.UTF8.GetBytes(FormattableString.Invariant($"{{\"temp\": {celsius:0.0}, \"battery\": 88}}")))
                        {
                            Value = celsius,
                        });
                }

                store.Commit(batch);
            }
        }

        public void Dispose() => Directory.Delete(_folder, recursive: true);

        private void Copy(string file, string name)
        {
            Directory.CreateDirectory(Path.GetDirectoryName(In(name))!);
            File.Copy(file, In(name));
        }

        public string Write(string name, string text)
        {
            Directory.CreateDirectory(Path.GetDirectoryName(In(name))!);
            File.WriteAllText(In(name), text);
            return name;
        }

        /// <summary>Runs a command as if this folder were the working directory, which all tests share.</summary>
        public (int Code, string Output) Run(string command)
        {
            List<string> words = [.. Words(command)];
            Assert.Equal(Program, words[0]);
            if (!words.Contains("--garden") && words[1] != "replay")
                words.AddRange(["--garden", "config/garden.yaml"]);
            using var output = new StringWriter();
            var code = Root()
                .Parse([.. words.Skip(1).Select(word => File.Exists(In(word)) ? In(word) : word)])
                .Invoke(new InvocationConfiguration { Output = output, Error = output, EnableDefaultExceptionHandler = false });
            return (code, output.ToString().Replace(_folder + Path.DirectorySeparatorChar, "", StringComparison.Ordinal));
        }

        private string In(string name) => Path.Combine(_folder, name);

        private static string Stored(string path)
        {
            Directory.CreateDirectory(Path.GetDirectoryName(path)!);
            return path;
        }
    }
}
