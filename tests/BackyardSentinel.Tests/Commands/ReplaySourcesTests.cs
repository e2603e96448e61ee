using System.CommandLine;
using BackyardSentinel.Commands;
using BackyardSentinel.Commands.Replay;

namespace BackyardSentinel.Tests.Commands;

/// <summary>What can be given to <c>replay</c> beside a file of rows: folders, the store, and what is refused.</summary>
public sealed class ReplaySourcesTests : IDisposable
{
    private static readonly DateTimeOffset Noon = ExplainGarden.Utc(2027, 3, 4, 12);
    private readonly LogFolder _folder = new();
    private readonly ExplainGarden _garden = new();

    public void Dispose()
    {
        _folder.Dispose();
        _garden.Dispose();
    }

    [Fact]
    public void A_folder_of_logs_is_one_log_and_what_was_left_out_is_told()
    {
        string[] rows = [.. LogFolder.Rows()];
        _folder.File(LogFolder.Lines([LogFolder.Header, .. rows[12..]]), "b.csv");
        _folder.File(LogFolder.Gzip(LogFolder.Lines([LogFolder.Header, .. rows[..12]])), "a.csv.gz");
        _folder.File("not a log", "notes.pdf");
        var (code, output, error) = Run(_folder.Root, "--period", "1h", "--step", "1h");
        Assert.Equal(ExitCode.Done, code);
        Assert.Contains("22 rows, 2027-02-01 00:00 to 2027-02-01 22:00", output, StringComparison.Ordinal);
        Assert.Contains("1 infection window by the rule wet-hours", output, StringComparison.Ordinal);
        Assert.Equal(
            $"{_folder.Root}: 2 of its 3 files are read, those called *.csv, *.tsv, *.txt, *.log, *.jsonl or the same with .gz.\n", error);
    }

    [Fact]
    public void Heads_with_units_are_read_and_the_units_told_on_standard_error()
    {
        // 49.1 °F are 9.5 °C and 0.1772 in 4.5 mm, by hand.
        var rows = LogFolder.Rows().Select(
            row => row.Replace(",9.5,", ",49.1,", StringComparison.Ordinal).Replace(",4.5", ",0.1772", StringComparison.Ordinal));
        var path = _folder.File(LogFolder.Lines(["time,Temp (°F),RH %,Rain [in]", .. rows]));
        var (code, output, error) = Run(path, "--period", "1h", "--step", "1h");
        Assert.Equal(ExitCode.Done, code);
        Assert.Contains("1 infection window by the rule wet-hours", output, StringComparison.Ordinal);
        Assert.Contains("9.5 °C", output, StringComparison.Ordinal);
        Assert.Equal(
            "Column \"Temp (°F)\" is read as temperature (°F), as its head says.\nColumn \"RH %\" is read as humidity (%), "
                + "as its head says.\nColumn \"Rain [in]\" is read as rain (in), as its head says.\n",
            error);
    }

    [Fact]
    public void The_store_is_a_log_by_its_garden_file_by_its_name_and_alone()
    {
        _garden.Weather(Noon.AddHours(-60), Noon.AddHours(-30), 9)
            .Weather(Noon.AddHours(-30), Noon, 9, humidityPct: 97, rainMmPerHour: 1)
            .Weather(Noon, Noon.AddHours(12), 9)
            .Saw("2027-03-02", 9);
        var byGarden = Run("--garden", _garden.Garden);
        Assert.Equal((ExitCode.Done, ""), (byGarden.Code, byGarden.Error));
        Assert.True(
            byGarden.Output.Contains("432 rows, 2027-03-02 00:50 to 2027-03-05 00:40 (Europe/Ljubljana)", StringComparison.Ordinal),
            byGarden.Output);
        Assert.Contains("2 infection windows by the rule wet-hours", byGarden.Output, StringComparison.Ordinal);
        Assert.Equal(byGarden, Run(_garden.Store, "--garden", _garden.Garden));

        // Without the garden file the plantings are those of the store's journal.
        var alone = Run(_garden.Store, "--zone", "Europe/Ljubljana");
        Assert.Equal(ExitCode.Done, alone.Code);
        Assert.Contains("1 infection window by the rule wet-hours", alone.Output, StringComparison.Ordinal);
        Assert.Contains("white-peach", alone.Output, StringComparison.Ordinal);

        var part = Run("--garden", _garden.Garden, "--from", "2027-03-04");
        Assert.Contains("150 rows, 2027-03-03 23:50 to 2027-03-05 00:40", part.Output, StringComparison.Ordinal);
    }

    [Fact]
    public void A_value_that_the_store_took_and_the_judgement_refuses_is_told_without_a_line()
    {
        _garden.Weather(Noon.AddHours(-6), Noon.AddHours(-3), 9).Weather(Noon.AddHours(-3), Noon.AddHours(-2.5), 75);
        var (code, output, _) = Run("--garden", _garden.Garden);
        Assert.Equal(ExitCode.Findings, code);
        Assert.Contains(
            $"  {_garden.Store}: 2027-03-04T09:00:00Z temperature 75 cannot be: taken are -60 to 60 °C\n",
            output,
            StringComparison.Ordinal);
    }

    [Fact]
    public void What_cannot_be_one_log_is_refused_in_a_sentence()
    {
        _garden.Weather(Noon.AddHours(-2), Noon, 9);
        var rows = _folder.File(LogFolder.Text());
        var messages = _folder.File("{\"time\":\"2027-02-01T06:00:00Z\",\"topic\":\"t\",\"payload\":\"1\"}\n", "m.jsonl");
        Refused("Name a log to replay, or a garden file with --garden: the log is then its store.");
        Refused(
            $"{_folder.Root}/none: no file in this folder is called as a log is",
            Directory.CreateDirectory(Path.Combine(_folder.Root, "none")).FullName);
        Refused($"{rows} is a log of rows and columns and {_garden.Store} is a store; only logs of one kind", rows, _garden.Store);
        Refused("One store at a time", _garden.Store, _garden.Store);
        Refused($"{messages}: these are raw messages; name the garden file with --garden", messages);
        Refused(
            $"--period is for logs of rows and columns; {_garden.Store} is a store and says this itself.", _garden.Store, "--period", "1h");
        Refused(
            $"--units is for logs of rows and columns; {messages} is a file of raw messages",
            messages,
            "--units",
            "us",
            "--garden",
            _garden.Garden);
        Refused($"{_garden.Store} has no readings of the site \"north\"; it has those of south-wall.", _garden.Store, "--site", "north");
        File.Delete(_garden.Store);
        Refused("There is no store ", "--garden", _garden.Garden);
    }

    private static void Refused(string sentence, params string[] arguments)
    {
        var (code, output, error) = Run(arguments);
        Assert.Equal((ExitCode.BadInput, ""), (code, output));
        Assert.StartsWith(sentence, error, StringComparison.Ordinal);
    }

    internal static (int Code, string Output, string Error) Run(params string[] arguments)
    {
        using StringWriter output = new(), error = new();
        var code = ReplayCommand.Create().Parse(arguments).Invoke(new InvocationConfiguration { Output = output, Error = error });
        return (code, output.ToString(), error.ToString());
    }
}
