using System.Diagnostics;
using BackyardSentinel.Configuration.Yaml;
using CsCheck;

namespace BackyardSentinel.Tests.Configuration;

public class BrokenGardenTests
{
    // Set to 1 to write the expected messages anew; read every one of them before committing.
    private const string WriteVariable = "BACKYARD_SENTINEL_WRITE_MESSAGES";

    public static TheoryData<string> Broken => [.. GardenFixtures.Names("bad")];

    [Theory]
    [MemberData(nameof(Broken))]
    public void A_broken_garden_gets_exactly_the_message_on_record(string name)
    {
        var (garden, problems) = GardenFileReader.ReadText(name, File.ReadAllText(GardenFixtures.Scenario("bad", name)));
        StringWriter written = new();
        ProblemRenderer.Write(problems, written);
        var record = Path.ChangeExtension(GardenFixtures.Scenario("bad", name), ".txt");
        if (Environment.GetEnvironmentVariable(WriteVariable) == "1")
            File.WriteAllText(record, written.ToString());

        Assert.Null(garden);
        Assert.Equal(File.ReadAllText(record), written.ToString());
    }

    [Fact]
    public void There_are_at_least_sixty_broken_gardens() =>
        Assert.True(GardenFixtures.Names("bad").Count() >= 60);

    [Fact]
    public void More_than_twenty_errors_are_counted_not_shown()
    {
        var text = "sites:\n" + string.Concat(Enumerable.Range(0, 30).Select(i => $"  - id: Site {i}\n"));
        var (_, problems) = GardenFileReader.ReadText("g.yaml", text);
        StringWriter written = new();
        ProblemRenderer.Write(problems, written);
        Assert.Equal(60, problems.Count(p => !p.IsNote));
        Assert.Equal(ProblemRenderer.Shown, written.ToString().Split('\n').Count(l => l.StartsWith("g.yaml:", StringComparison.Ordinal)));
        Assert.EndsWith("and 40 more errors\n", written.ToString(), StringComparison.Ordinal);
    }

    [Theory]
    [InlineData("broker:\n  password: hunter2\n")]
    [InlineData("broker: {username: u, password: \"hunter2\"}\n")]
    [InlineData("broker:\n  Passwd: hunter2\n")]
    [InlineData("password: hunter2\n")]
    [InlineData("broker:\n  password: [hunter2]\n")]
    [InlineData("broker:\n  password: !!str hunter2\n")]
    public void A_password_written_into_the_file_is_never_repeated(string text)
    {
        var (_, problems) = GardenFileReader.ReadText("g.yaml", text);
        StringWriter written = new();
        ProblemRenderer.Write(problems, written);
        Assert.NotEmpty(written.ToString());
        Assert.DoesNotContain("hunter2", written.ToString(), StringComparison.Ordinal);
    }

    [Fact]
    public void Control_characters_do_not_reach_the_terminal()
    {
        var (_, problems) = GardenFileReader.ReadText("g.yaml", "sites:\n  - id: \"a\\u001b[2Jb\"\n    step: \"\\u001b[31m\"\n");
        StringWriter written = new();
        ProblemRenderer.Write(problems, written);
        Assert.DoesNotContain('\u001b', written.ToString());
    }

    [Fact]
    public void The_caret_of_a_long_line_stays_in_view()
    {
        var (_, problems) = GardenFileReader.ReadText("g.yaml", "broker: {" + new string(' ', 500) + "prt: 1}\n");
        StringWriter written = new();
        ProblemRenderer.Write([problems.Single(p => p.Column > 500)], written);
        var lines = written.ToString().Split('\n');
        Assert.Equal('p', lines[1][lines[2].IndexOf('^', StringComparison.Ordinal)]);
        Assert.True(lines[1].Length < 120);
    }

    [Theory]
    [InlineData("a: \"", "x")]
    [InlineData("a: {", "b,")]
    [InlineData("", "[")]
    [InlineData("", "? ")]
    [InlineData("a: {", "passw")]
    [InlineData("sites:\n", "  - id: A\n")]
    public void A_hostile_file_of_full_size_is_answered(string start, string repeated)
    {
        var text = start + string.Concat(Enumerable.Repeat(repeated, (GardenText.LargestFile - start.Length) / repeated.Length));
        var clock = Stopwatch.StartNew();
        ProblemRenderer.Write(GardenFileReader.ReadText("g.yaml", text).Problems, TextWriter.Null);
        // What grows with the square of its length would take hours; this is no measure of speed.
        Assert.True(clock.Elapsed < TimeSpan.FromMinutes(3), $"took {clock.Elapsed}");
    }

    [Fact]
    public void A_garden_with_any_characters_changed_never_throws()
    {
        var good = File.ReadAllText(GardenFixtures.Scenario("good", "every-key.yaml"));
        Gen.Select(Gen.Int[0, good.Length - 1], Gen.Int[0, 12], Gen.String[Gen.Char["\t\n :-[]{}\"'#&*!%@|>?,0aZ°\0\u001b"], 0, 3])
            .Sample(
                (at, cut, put) =>
                {
                    var text = good[..at] + put + good[Math.Min(good.Length, at + cut)..];
                    var (garden, problems) = GardenFileReader.ReadText("g.yaml", text);
                    StringWriter written = new();
                    ProblemRenderer.Write(problems, written);
                    return garden is not null == problems.All(p => p.IsNote);
                },
                iter: Rounds.Of(8_000));
    }
}
