using System.IO.Compression;
using BackyardSentinel.Commands;
using BackyardSentinel.Commands.Replay;
using BackyardSentinel.Logs;

namespace BackyardSentinel.Tests.Logs;

public sealed class HostileLogTests : IDisposable
{
    private const string Header = "time,temperature_c,humidity_pct\n";
    private readonly DirectoryInfo _folder = Directory.CreateTempSubdirectory("hostile-log-");

    public void Dispose() => _folder.Delete(recursive: true);

    [Theory]
    [InlineData(1)]
    [InlineData(8)]
    [InlineData(200)]
    public void A_gzip_file_that_was_cut_off_is_refused_rather_than_read_in_part(int bytesMissing)
    {
        var whole = Packed(
            Header + string.Concat(Enumerable.Range(0, 5000).Select(i => $"{1_801_440_000 + i * 600},{i % 37}.{i % 7},{i % 91}\n")));
        AssertRefused(File("cut.gz", whole[..^bytesMissing]), "damaged or cut off");
    }

    [Fact]
    public void A_gzip_file_of_several_parts_is_read_to_its_end() =>
        Assert.Equal(2, ReadAll(File("parts.gz", [.. Packed(Header + "1801440000,5,80\n"), .. Packed("1801440600,5,80\n")])).Rows);

    [Fact]
    public void A_quote_that_is_never_closed_ends_the_reading_before_it_fills_the_memory() =>
        AssertRefused(File("quote.csv", Header + "1801440000,\"5,80\n" + new string('x', 8_000_000)), "too long for one row");

    [Fact]
    public void A_file_of_zeros_and_a_bomb_of_blanks_are_refused()
    {
        AssertRefused(File("zeros.csv", new byte[8_000_000]), "two million characters");
        AssertRefused(File("blanks.gz", Packed(new string(' ', 8_000_000))), "two million characters");
    }

    [Fact]
    public void Rows_of_any_number_fit_because_only_one_row_at_a_time_is_measured() =>
        Assert.Equal(
            400_000,
            ReadAll(
                File("many.csv", Header + string.Concat(Enumerable.Range(0, 400_000).Select(i => $"{1_801_440_000 + i},5,80\n")))).Rows);

    [Fact]
    public void Names_that_come_twice_matter_only_where_they_are_asked_for()
    {
        Assert.Equal(1, ReadAll(File("spare.csv", "time,error,temperature_c,error\n1801440000,a,5,b\n")).Rows);
        AssertRefused(File("twice.csv", "time,temperature_c,Temperature_C\n1801440000,5,6\n"), "two columns \"temperature_c\"");
    }

    [Fact]
    public void A_header_of_bytes_that_are_no_text_is_not_shown_back()
    {
        AssertRefused(File("latin.csv", [0xE4, 0xFF, (byte)',', (byte)'a', (byte)'\n']), "not a text file in UTF-8");
        AssertRefused(File("wide.csv", Encoding.Unicode.GetBytes(Header)), "not a text file in UTF-8");
        var endless = AssertRefused(File("long.csv", "a,\u001b[31m\u202e" + new string('x', 9000) + "\n1,2\n"), "no column \"time\"");
        Assert.True(endless.Length < 400);
        Assert.DoesNotContain('\u001b', endless);
        Assert.DoesNotContain('\u202e', endless);
    }

    [Theory]
    [InlineData("\ntime,received,site,place\n2027-02-01T06:00:00Z,,,\n", "time")]
    [InlineData("time,received\tsite,place\n2027-02-01T06:00:00Z,,,\n", "received")]
    [InlineData("time,received\"\",site,place\n2027-02-01T06:00:00Z,,,8\n", "received")]
    public void Exported_readings_whose_first_line_does_not_fall_into_their_columns_are_refused(string log, string missing)
    {
        var path = File("export.csv", log);
        Assert.Equal(LogKind.Readings, LogKinds.Of(path));
        Assert.Contains(
            $"no column \"{missing}\"",
            Assert.Throws<LogProblemException>(() => ReadingsFile.SitesIn(path)).Message,
            StringComparison.Ordinal);
    }

    [Theory]
    [InlineData("0001-01-01T00:00:00", "Asia/Tokyo")]
    [InlineData("9999-12-31T23:59:59", "America/New_York")]
    public void A_local_time_at_the_end_of_the_calendar_rejects_its_row(string time, string zone)
    {
        var (rows, rejected) = ReadAll(
            File("ends.csv", $"{Header}{time},5,80\n"),
            new LogOptions { Zone = TimeZoneInfo.FindSystemTimeZoneById(zone) });
        Assert.Equal(0, rows);
        Assert.Contains(time, Assert.Single(rejected).Reason, StringComparison.Ordinal);
    }

    [Fact]
    public void An_empty_name_and_a_missing_file_get_a_sentence()
    {
        AssertRefused("", "empty name");
        AssertRefused(Path.Combine(_folder.FullName, "none.csv"), "there is no such file");
    }

    [Theory]
    [InlineData(double.NaN)]
    [InlineData(double.PositiveInfinity)]
    public void A_wetness_threshold_that_is_no_number_is_refused(double threshold) =>
        Assert.Contains(
            "--wet-on",
            Assert.Throws<LogProblemException>(() => ReplaySite.Build(null, null, null, null, null, threshold)).Message,
            StringComparison.Ordinal);

    [Theory]
    [InlineData("--columns: \"b\" cannot be both temperature and humidity", "--columns", "temperature=b", "--columns", "humidity=b")]
    [InlineData("--columns: temperature is named twice", "--columns", "temperature=b,temperature=c")]
    [InlineData("--from is not before --to", "--from", "2028-01-01", "--to", "2027-01-01")]
    [InlineData("--period: \"400d\" is not a length of time", "--period", "400d")]
    [InlineData("--json and --csv exclude each other", "--json", "--csv")]
    public void Options_that_contradict_each_other_are_refused_before_a_file_is_opened(string sentence, params string[] options)
    {
        var told = Program("replay", ["no-such.csv", .. options]);
        Assert.Equal(ExitCode.BadInput, told.Code);
        Assert.StartsWith(sentence, told.Error, StringComparison.Ordinal);
    }

    [Fact]
    public void A_failure_nobody_foresaw_is_a_sentence_and_a_trace_only_when_asked_for()
    {
        var failure = Assert.Throws<InvalidOperationException>(static () => Enumerable.Empty<int>().First());
        using StringWriter brief = new(), full = new();
        Assert.Equal(ExitCode.BadInput, Failure.Tell(failure, verbose: false, brief));
        Assert.Equal(ExitCode.BadInput, Failure.Tell(failure, verbose: true, full));
        Assert.Contains("(InvalidOperationException: ", brief.ToString(), StringComparison.Ordinal);
        Assert.DoesNotContain("   at ", brief.ToString(), StringComparison.Ordinal);
        Assert.Contains("   at ", full.ToString(), StringComparison.Ordinal);
    }

    private static (int Code, string Error) Program(string command, string[] arguments)
    {
        var start = new System.Diagnostics.ProcessStartInfo("dotnet") { RedirectStandardError = true, RedirectStandardOutput = true };
        foreach (var argument in (string[])[typeof(Replay).Assembly.Location, command, .. arguments])
            start.ArgumentList.Add(argument);
        using var process = System.Diagnostics.Process.Start(start)!;
        var error = process.StandardError.ReadToEnd();
        process.WaitForExit();
        return (process.ExitCode, error);
    }

    private static string AssertRefused(string path, string why)
    {
        var message = Assert.Throws<LogProblemException>(() => ReadAll(path)).Message;
        Assert.Contains(why, message, StringComparison.Ordinal);
        return message;
    }

    private static (int Rows, List<RejectedRow> Rejected) ReadAll(string path, LogOptions? options = null)
    {
        List<RejectedRow> rejected = [];
        using var log = new LogFile(path, options ?? new LogOptions(), rejected.Add);
        var rows = 0;
        while (log.Read())
            rows++;
        return (rows, rejected);
    }

    private string File(string name, string text) => File(name, Encoding.UTF8.GetBytes(text));

    private string File(string name, byte[] bytes)
    {
        var path = Path.Combine(_folder.FullName, name);
        System.IO.File.WriteAllBytes(path, bytes);
        return path;
    }

    private static byte[] Packed(string text)
    {
        using var packed = new MemoryStream();
        using (var gzip = new GZipStream(packed, CompressionLevel.Fastest))
            gzip.Write(Encoding.UTF8.GetBytes(text));
        return packed.ToArray();
    }
}
