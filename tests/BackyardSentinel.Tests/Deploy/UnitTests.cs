using System.Diagnostics;
using System.Text.RegularExpressions;
using BackyardSentinel.Delivery;
using BackyardSentinel.Guards;

namespace BackyardSentinel.Tests.Deploy;

/// <summary>What stands in deploy/, tried with the tools of the systems it is made for, where they are.</summary>
public sealed partial class UnitTests
{
    private const string Analyze = "/usr/bin/systemd-analyze";

    [GeneratedRegex(@"Overall exposure level for [^:]+: ([0-9.]+)")]
    private static partial Regex Exposure();

    [GeneratedRegex(@"\.\./\.\./([\w./-]+)")]
    private static partial Regex OutsideFile();

    /// <summary>systemd's own measure, 0 (shut) to 10 (open).</summary>
    [Fact]
    public void The_service_is_exposed_by_two_of_ten_at_most()
    {
        Assert.SkipUnless(File.Exists(Analyze), "systemd-analyze is not on this machine.");
        var (_, said) = Run(Analyze, "security", "--offline=yes", "--no-pager", Checkout.Path("deploy", "backyard-sentinel.service"));

        Assert.InRange(double.Parse(Exposure().Match(said).Groups[1].Value, CultureInfo.InvariantCulture), 0.1, 2.0);
    }

    /// <summary>
    /// What a task last promised, the grace, systemd's own patience and its pause before the start. Who waits for a set time, as
    /// the link between two tries, does not hang; it promises anew when the wait is over.
    /// </summary>
    [Fact]
    public void From_the_moment_a_task_hangs_it_is_90_seconds_at_most_to_the_new_start()
    {
        var unit = File.ReadAllText(Checkout.Path("deploy", "backyard-sentinel.service"));
        var longestTurn = new[] { WebhookReceiver.AttemptTimeout, BrokerPatience.StepLimit }.Max();
        var seconds = longestTurn + TurnWatch.Grace + Seconds("WatchdogSec") + Seconds("RestartSec");
        Assert.InRange(seconds, TimeSpan.Zero, TimeSpan.FromSeconds(90));

        TimeSpan Seconds(string key) =>
            TimeSpan.FromSeconds(int.Parse(Regex.Match(unit, $"(?m)^{key}=([0-9]+)$").Groups[1].Value, CultureInfo.InvariantCulture));
    }

    // The image is built from what .dockerignore lets through, and that names each file outside src.
    [Fact]
    public void The_image_gets_each_file_that_the_projects_take_from_outside_their_own_folders()
    {
        var allowed = File.ReadAllLines(Checkout.Path(".dockerignore"));
        var taken = Directory.EnumerateFiles(Checkout.Path("src"), "*.csproj", SearchOption.AllDirectories)
            .SelectMany(project => OutsideFile().Matches(File.ReadAllText(project)))
            .Select(found => found.Groups[1].Value)
            .Distinct()
            .ToList();
        Assert.Contains("deploy/order.txt", taken);
        Assert.All(taken, file => Assert.Contains("!" + file, allowed));
        Assert.All(taken, file => Assert.True(File.Exists(Checkout.Path(file.Split('/'))), file));
    }

    [Theory]
    [InlineData("replay --uni", "--units")]
    [InlineData("replay --units u", "us")]
    [InlineData("journal add st", "stage")]
    [InlineData("journal add stage --pl", "--planting")]
    [InlineData("jour", "journal")]
    public void Bash_completes_what_is_begun(string typed, string completed)
    {
        Assert.SkipUnless(File.Exists("/bin/bash"), "There is no bash on this machine.");
        var words = ("backyard-sentinel " + typed).Split(' ');
        var (code, said) = Run(
            "/bin/bash",
            "-c",
            $"source '{Checkout.Path("deploy", "completions", "backyard-sentinel.bash")}'; COMP_WORDS=({string.Join(' ', words)}); "
                + $"COMP_CWORD={words.Length - 1}; _backyard_sentinel; echo \"${{COMPREPLY[*]}}\"");

        Assert.Equal((0, completed), (code, said.Trim()));
    }

    [Theory]
    [InlineData("/usr/bin/zsh", "-n", "backyard-sentinel.zsh")]
    [InlineData("/usr/bin/fish", "--no-execute", "backyard-sentinel.fish")]
    public void Other_shells_understand_their_completions(string shell, string check, string file)
    {
        Assert.SkipUnless(File.Exists(shell), $"{shell} is not on this machine.");
        Assert.Equal((0, ""), Run(shell, check, Checkout.Path("deploy", "completions", file)));
    }

    [Fact]
    public void The_manual_page_has_no_fault_that_man_would_see()
    {
        Assert.SkipUnless(File.Exists("/usr/bin/groff"), "groff is not on this machine.");
        var page = Checkout.Path("deploy", "backyard-sentinel.1");
        Assert.Equal((0, ""), Run("/usr/bin/groff", "-K", "utf8", "-man", "-ww", "-z", "-Tutf8", page));
    }

    private static (int Code, string Said) Run(string program, params string[] arguments)
    {
        using var process = Process.Start(
            new ProcessStartInfo(program, arguments) { RedirectStandardOutput = true, RedirectStandardError = true })!;
        var errors = process.StandardError.ReadToEndAsync();
        var said = process.StandardOutput.ReadToEnd();
        process.WaitForExit();
        return (process.ExitCode, said + errors.Result);
    }
}
