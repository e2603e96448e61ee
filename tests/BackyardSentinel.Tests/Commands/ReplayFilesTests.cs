using BackyardSentinel.Commands.Replay;
using BackyardSentinel.Infection;
using BackyardSentinel.Logs;

namespace BackyardSentinel.Tests.Commands;

/// <summary>Files as people have them: the right answer, or one clear sentence.</summary>
public sealed class ReplayFilesTests : ReplayInputBench
{
    [Fact]
    public void A_stretch_without_readings_is_named_and_its_days_are_not_drawn_clear()
    {
        using var log = new LogFolder();
        var dry = Enumerable.Range(0, 240).Where(hour => hour is < 48 or >= 158).Select(hour => $"{LogFolder.Stamp(hour)},9.5,60,0");

        var result = log.Judge(LogFolder.Lines([LogFolder.Header, .. dry]));

        Assert.Contains(
            result.Findings,
            finding =>
                finding.StartsWith("Unknown from 2027-02-03 ", StringComparison.Ordinal)
                && finding.Contains(" to 2027-02-07 ", StringComparison.Ordinal));
        using StringWriter drawn = new();
        SeasonDrawing.Write(result, drawn);
        Assert.Contains("        level ··?????···\n", drawn.ToString().ReplaceLineEndings("\n"), StringComparison.Ordinal);
    }

    [Fact]
    public void A_plain_log_gives_its_spell_and_window()
    {
        var result = Folder.Judge(LogFolder.Text());

        AssertUsual(result);
        var window = Assert.Single(result.Windows, window => window.Rule == RuleName.WetHours.Word());
        Assert.Equal((LogFolder.Start.AddHours(13), LogFolder.Start.AddHours(16)), (window.OpenedAt, window.ClosedAt));
        Assert.Equal((22, 22), (result.Rows, result.Intervals));
    }

    [Fact]
    public void Line_ends_of_other_systems_blank_lines_and_a_byte_order_mark_do_not_matter()
    {
        AssertUsual(Folder.Judge(LogFolder.Text().Replace("\n", "\r\n", StringComparison.Ordinal)));
        AssertUsual(Folder.Judge("\uFEFF" + LogFolder.Text()));
        AssertUsual(Folder.Judge(LogFolder.Text().Replace("\n", "\n\n", StringComparison.Ordinal)));
        AssertUsual(Folder.Judge(LogFolder.Text() + "  \n\n"));
        AssertUsual(Folder.Judge(LogFolder.Text().TrimEnd('\n')));
    }

    /// <summary>Loggers and spreadsheets like to keep the day and the time of day apart.</summary>
    [Fact]
    public void Day_and_time_of_day_may_stand_in_two_columns()
    {
        var plain = LogFolder.Lines([$"Date,{LogFolder.Header}", .. LogFolder.Rows().Select(row => Apart(row, "yyyy-MM-dd", "HH:mm:ss"))]);
        AssertUsual(Folder.Judge(plain));
        Assert.Contains("Columns \"Date\" and \"time\" are read together as the time.", Folder.Judge(plain).Notes);
        // An hour without its zero, and a column that holds the day once more.
        AssertUsual(
            Folder.Judge(
                LogFolder.Lines([$"Date,{LogFolder.Header}", .. LogFolder.Rows().Select(row => Apart(row, "yyyy-MM-dd", "H:mm"))])));
        AssertUsual(Folder.Judge(LogFolder.Lines([$"Date,{LogFolder.Header}", .. LogFolder.Rows().Select(row => $"{row[..10]},{row}")])));

        var named = LogFolder.Lines(
            [$"day,clock,{LogFolder.Header[5..]}", .. LogFolder.Rows().Select(row => Apart(row, "dd.MM.yyyy", "HH:mm"))]);
        var options = LogFolder.Hourly with
        {
            Columns = new Dictionary<string, string> { ["time"] = "day+clock" },
            TimePattern = "dd.MM.yyyy HH:mm",
        };
        AssertUsual(Folder.Judge(named, options));
        Assert.Equal(0, Folder.Judge(named, options).RejectedCount);

        var missing = Assert.Throws<LogProblemException>(() =>
            Folder.Judge(named, options with { Columns = new Dictionary<string, string> { ["time"] = "day+hour" } }));
        Assert.Contains("no column \"hour\" in the header (day, clock,", missing.Message, StringComparison.Ordinal);
        var bad = Folder.Judge(plain.Replace(",05:00:00,", ",noon,", StringComparison.Ordinal));
        Assert.StartsWith("\"2027-02-01 noon\" is not a time", Assert.Single(bad.Rejected).Reason, StringComparison.Ordinal);

        static string Apart(string row, string day, string clock)
        {
            var cut = row.IndexOf(',');
            var time = DateTime.Parse(
                row[..cut], System.Globalization.CultureInfo.InvariantCulture, System.Globalization.DateTimeStyles.AdjustToUniversal);
            return FormattableString.Invariant($"{time.ToString(day, null)},{time.ToString(clock, null)}{row[cut..]}");
        }
    }

    [Fact]
    public void Quoted_fields_are_read_even_with_the_separator_inside()
    {
        AssertUsual(Folder.Judge(LogFolder.Lines([Quote(LogFolder.Header), .. LogFolder.Rows().Select(Quote)])));
        AssertUsual(
            Folder.Judge(LogFolder.Lines([$"note,{LogFolder.Header}", .. LogFolder.Rows().Select(row => $"\"north wall, low\",{row}")])));

        static string Quote(string line) => string.Join(',', line.Split(',').Select(field => $"\"{field}\""));
    }

    [Fact]
    public void Semicolons_with_decimal_commas_and_tabs_are_seen()
    {
        AssertUsual(Folder.Judge(LogFolder.Text().Replace(',', ';').Replace('.', ',')));
        AssertUsual(Folder.Judge(LogFolder.Text().Replace(',', ';')));
        AssertUsual(Folder.Judge(LogFolder.Text().Replace(',', '\t').Replace('.', ',')));
    }

    [Fact]
    public void A_gzip_file_is_seen_whatever_it_is_called()
    {
        AssertUsual(Judge(Folder.File(LogFolder.Gzip(LogFolder.Text()), "log.csv.gz")));
        AssertUsual(Judge(Folder.File(LogFolder.Gzip(LogFolder.Text()), "log.csv")));
    }

    [Fact]
    public void Columns_may_stand_in_any_order_and_have_other_names()
    {
        var text = LogFolder.Lines([
            "RAIN_MM,Outdoor,rh,Time",
            .. LogFolder.Rows().Select(row => row.Split(',')).Select(f => $"{f[3]},{f[1]},{f[2]},{f[0]}"),
        ]);

        AssertUsual(
            Folder.Judge(
                text,
                LogFolder.Hourly with
                {
                    Columns = new Dictionary<string, string> { ["temperature"] = "outdoor", ["humidity"] = "rh" },
                }));
    }

    [Fact]
    public void A_file_that_is_no_log_is_refused_with_one_sentence()
    {
        Assert.Equal("log.csv: the file is empty, or a pipe; a log needs a header and rows.", Folder.Refusal(Folder.File("")));
        Assert.Equal(
            "log.csv: no column \"time\" in the header (when, temperature_c); name it with --columns time=NAME.",
            Folder.Refusal(Folder.File("when,temperature_c\n2027-02-01T00:00:00Z,9\n")));
        Assert.Equal(
            "log.csv: no column \"temperature_c\" in the header (time, pressure); name it with --columns temperature=NAME.",
            Folder.Refusal(Folder.File("time,pressure\n2027-02-01T00:00:00Z,1013\n")));
        Assert.Equal("missing.csv: there is no such file.", Folder.Refusal(Path.Combine(Folder.Root, "missing.csv")));
        Assert.EndsWith(": this is a folder; name the log files in it.", Folder.Refusal(Folder.Root), StringComparison.Ordinal);
    }

    [Fact]
    public void Binary_garbage_is_refused_with_one_printable_sentence()
    {
        var bytes = new byte[5000];
        for (var seed = 1; seed <= 20; seed++)
        {
            new Random(seed).NextBytes(bytes);
            var sentence = Folder.Refusal(Folder.File(bytes));
            Assert.DoesNotContain(sentence, char.IsControl);
            Assert.InRange(sentence.Length, 10, 300);
        }

        Assert.Equal(
            "log.csv: not a text file in UTF-8; save the log as CSV in UTF-8.",
            Folder.Refusal(Folder.File([0x7F, (byte)'E', (byte)'L', (byte)'F', 2, 1, 1, 0, 0, 0, 10, 0, 0])));
    }

    [Fact]
    public void A_damaged_gzip_file_is_refused()
    {
        var packed = LogFolder.Gzip(LogFolder.Text());
        packed.AsSpan(20).Fill(0xFF);

        Assert.Equal(
            "log.csv: the gzip file is damaged or cut off in the header; unpack it or copy it again.",
            Folder.Refusal(Folder.File(packed)));
    }

    [Fact]
    public void A_gzip_file_that_was_cut_off_is_refused_and_not_taken_for_a_shorter_log()
    {
        var packed = LogFolder.Gzip(LogFolder.Text(wet: 3000));

        var sentence = Folder.Refusal(Folder.File(packed[..(packed.Length / 2)]));

        Assert.Matches(@"^log\.csv: the gzip file is damaged or cut off after \d+ rows; unpack it or copy it again\.$", sentence);
    }

    [Fact]
    public void A_row_without_end_is_refused_before_it_fills_the_memory()
    {
        var text =
            LogFolder.Header
            + "\n"
            + LogFolder.Rows().First()
            + "\n\""
            + string.Concat(Enumerable.Repeat("2027-02-01T01:00:00Z,9.5,95,0\n", 600_000));

        Assert.Equal(
            "log.csv: reading stopped after 1 rows, as what follows is too long for one row; a quote that is never closed does this.",
            Folder.Refusal(Folder.File(text)));
    }

    [Fact]
    public void A_note_of_several_lines_does_no_harm()
    {
        var rows = LogFolder.Rows().Select((row, hour) => hour == 4 ? $"\"pruned,\nthen rain\",{row}" : $"-,{row}");

        AssertUsual(Folder.Judge(LogFolder.Lines([$"note,{LogFolder.Header}", .. rows])));
    }

    [Fact]
    public void A_header_without_rows_has_nothing_to_judge()
    {
        var result = Folder.Judge(LogFolder.Header + "\n");

        Assert.Equal((0, 0, 0), (result.Rows, result.Intervals, result.RejectedCount));
        var text = new StringWriter();
        ReplayText.Write(result, text);
        Assert.Equal($"{result.Logs[0]}: no rows, so there is nothing to judge.{Environment.NewLine}", text.ToString());
    }

    [Fact]
    public void Two_files_with_different_columns_are_one_log()
    {
        var rows = LogFolder.Rows().Select(row => row.Split(',')).ToList();
        var air = Folder.File(
            LogFolder.Lines(["time,temperature_c,humidity_pct", .. rows.Select(f => $"{f[0]},{f[1]},{f[2]}")]),
            "air.csv");
        var rain = Folder.File(LogFolder.Lines(["time,rain_mm", .. rows.Select(f => $"{f[0]},{f[3]}")]), "rain.csv");

        foreach (var logs in new[] { new[] { air, rain }, [rain, air] })
        {
            var result = Replay.Run(LogFolder.Site, logs, LogFolder.Hourly);
            AssertUsual(result);
            Assert.Equal(44, result.Rows);
        }

        Assert.False(Replay.Run(LogFolder.Site, [air], LogFolder.Hourly).Site.HasRainGauge);
    }

    [Fact]
    public void Where_two_files_say_the_same_the_one_named_first_counts()
    {
        var first = Folder.File(LogFolder.Text(), "first.csv");
        var second = Folder.File(LogFolder.Text().Replace("9.5", "12", StringComparison.Ordinal), "second.csv");

        var result = Replay.Run(LogFolder.Site, [first, second], LogFolder.Hourly);

        Assert.Equal(9.5, Assert.Single(result.Spells).MeanTempC);
        Assert.Equal(4.5, result.Spells[0].RainMm);
        Assert.Equal(66, result.RejectedCount);
        Assert.Equal("temperature 12: there is a value of this very time already; the first counts", result.Rejected[0].Reason);
        Assert.All(result.Rejected, row => Assert.Equal(second, row.File));
    }

    [Fact]
    public void From_and_to_cut_the_log()
    {
        var result = Folder.Judge(LogFolder.Text(), LogFolder.Hourly with { To = LogFolder.Start.AddHours(10) });
        Assert.Equal((10, 10), (Assert.Single(result.Spells).WetHours, result.Intervals));

        result = Folder.Judge(LogFolder.Text(), LogFolder.Hourly with { From = LogFolder.Start.AddHours(1) });
        Assert.Empty(result.Spells); // The hour with the rain is cut off.
        Assert.Equal(LogFolder.Start.AddHours(1), result.Start);
    }

    [Fact]
    public void A_text_in_another_encoding_still_gives_its_numbers()
    {
        var latin = Encoding.Latin1.GetBytes(
            LogFolder.Lines(["note,time,temperature_c,humidity_pct,rain_mm", .. LogFolder.Rows().Select(row => $"für Pfirsich,{row}")]));

        AssertUsual(Judge(Folder.File(latin)));
    }
}
