using BackyardSentinel.Commands.Replay;
using BackyardSentinel.Infection;
using BackyardSentinel.Logs;

namespace BackyardSentinel.Tests.Commands;

/// <summary>Logs as people have them: the right answer, or one clear sentence.</summary>
public sealed class ReplayInputTests : IDisposable
{
    private readonly LogFolder _folder = new();

    public void Dispose() => _folder.Dispose();

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
        var result = _folder.Judge(LogFolder.Text());

        AssertUsual(result);
        var window = Assert.Single(result.Windows, window => window.Rule == RuleName.WetHours.Word());
        Assert.Equal((LogFolder.Start.AddHours(13), LogFolder.Start.AddHours(16)), (window.OpenedAt, window.ClosedAt));
        Assert.Equal((22, 22), (result.Rows, result.Intervals));
    }

    [Fact]
    public void Line_ends_of_other_systems_blank_lines_and_a_byte_order_mark_do_not_matter()
    {
        AssertUsual(_folder.Judge(LogFolder.Text().Replace("\n", "\r\n", StringComparison.Ordinal)));
        AssertUsual(_folder.Judge("\uFEFF" + LogFolder.Text()));
        AssertUsual(_folder.Judge(LogFolder.Text().Replace("\n", "\n\n", StringComparison.Ordinal)));
        AssertUsual(_folder.Judge(LogFolder.Text() + "  \n\n"));
        AssertUsual(_folder.Judge(LogFolder.Text().TrimEnd('\n')));
    }

    /// <summary>Loggers and spreadsheets like to keep the day and the time of day apart.</summary>
    [Fact]
    public void Day_and_time_of_day_may_stand_in_two_columns()
    {
        var plain = LogFolder.Lines([$"Date,{LogFolder.Header}", .. LogFolder.Rows().Select(row => Apart(row, "yyyy-MM-dd", "HH:mm:ss"))]);
        AssertUsual(_folder.Judge(plain));
        Assert.Contains("Columns \"Date\" and \"time\" are read together as the time.", _folder.Judge(plain).Notes);
        // An hour without its zero, and a column that holds the day once more.
        AssertUsual(
            _folder.Judge(
                LogFolder.Lines([$"Date,{LogFolder.Header}", .. LogFolder.Rows().Select(row => Apart(row, "yyyy-MM-dd", "H:mm"))])));
        AssertUsual(_folder.Judge(LogFolder.Lines([$"Date,{LogFolder.Header}", .. LogFolder.Rows().Select(row => $"{row[..10]},{row}")])));

        var named = LogFolder.Lines(
            [$"day,clock,{LogFolder.Header[5..]}", .. LogFolder.Rows().Select(row => Apart(row, "dd.MM.yyyy", "HH:mm"))]);
        var options = LogFolder.Hourly with
        {
            Columns = new Dictionary<string, string> { ["time"] = "day+clock" },
            TimePattern = "dd.MM.yyyy HH:mm",
        };
        AssertUsual(_folder.Judge(named, options));
        Assert.Equal(0, _folder.Judge(named, options).RejectedCount);

        var missing = Assert.Throws<LogProblemException>(() =>
            _folder.Judge(named, options with { Columns = new Dictionary<string, string> { ["time"] = "day+hour" } }));
        Assert.Contains("no column \"hour\" in the header (day, clock,", missing.Message, StringComparison.Ordinal);
        var bad = _folder.Judge(plain.Replace(",05:00:00,", ",noon,", StringComparison.Ordinal));
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
        AssertUsual(_folder.Judge(LogFolder.Lines([Quote(LogFolder.Header), .. LogFolder.Rows().Select(Quote)])));
        AssertUsual(
            _folder.Judge(LogFolder.Lines([$"note,{LogFolder.Header}", .. LogFolder.Rows().Select(row => $"\"north wall, low\",{row}")])));

        static string Quote(string line) => string.Join(',', line.Split(',').Select(field => $"\"{field}\""));
    }

    [Fact]
    public void Semicolons_with_decimal_commas_and_tabs_are_seen()
    {
        AssertUsual(_folder.Judge(LogFolder.Text().Replace(',', ';').Replace('.', ',')));
        AssertUsual(_folder.Judge(LogFolder.Text().Replace(',', ';')));
        AssertUsual(_folder.Judge(LogFolder.Text().Replace(',', '\t').Replace('.', ',')));
    }

    [Fact]
    public void A_gzip_file_is_seen_whatever_it_is_called()
    {
        AssertUsual(Judge(_folder.File(LogFolder.Gzip(LogFolder.Text()), "log.csv.gz")));
        AssertUsual(Judge(_folder.File(LogFolder.Gzip(LogFolder.Text()), "log.csv")));
    }

    [Fact]
    public void Columns_may_stand_in_any_order_and_have_other_names()
    {
        var text = LogFolder.Lines([
            "RAIN_MM,Outdoor,rh,Time",
            .. LogFolder.Rows().Select(row => row.Split(',')).Select(f => $"{f[3]},{f[1]},{f[2]},{f[0]}"),
        ]);

        AssertUsual(
            _folder.Judge(
                text,
                LogFolder.Hourly with
                {
                    Columns = new Dictionary<string, string> { ["temperature"] = "outdoor", ["humidity"] = "rh" },
                }));
    }

    [Fact]
    public void A_file_that_is_no_log_is_refused_with_one_sentence()
    {
        Assert.Equal("log.csv: the file is empty, or a pipe; a log needs a header and rows.", _folder.Refusal(_folder.File("")));
        Assert.Equal(
            "log.csv: no column \"time\" in the header (when, temperature_c); name it with --columns time=NAME.",
            _folder.Refusal(_folder.File("when,temperature_c\n2027-02-01T00:00:00Z,9\n")));
        Assert.Equal(
            "log.csv: no column \"temperature_c\" in the header (time, pressure); name it with --columns temperature=NAME.",
            _folder.Refusal(_folder.File("time,pressure\n2027-02-01T00:00:00Z,1013\n")));
        Assert.Equal("missing.csv: there is no such file.", _folder.Refusal(Path.Combine(_folder.Root, "missing.csv")));
        Assert.EndsWith(": this is a folder; name the log files in it.", _folder.Refusal(_folder.Root), StringComparison.Ordinal);
    }

    [Fact]
    public void Binary_garbage_is_refused_with_one_printable_sentence()
    {
        var bytes = new byte[5000];
        for (var seed = 1; seed <= 20; seed++)
        {
            new Random(seed).NextBytes(bytes);
            var sentence = _folder.Refusal(_folder.File(bytes));
            Assert.DoesNotContain(sentence, char.IsControl);
            Assert.InRange(sentence.Length, 10, 300);
        }

        Assert.Equal(
            "log.csv: not a text file in UTF-8; save the log as CSV in UTF-8.",
            _folder.Refusal(_folder.File([0x7F, (byte)'E', (byte)'L', (byte)'F', 2, 1, 1, 0, 0, 0, 10, 0, 0])));
    }

    [Fact]
    public void A_damaged_gzip_file_is_refused()
    {
        var packed = LogFolder.Gzip(LogFolder.Text());
        packed.AsSpan(20).Fill(0xFF);

        Assert.Equal(
            "log.csv: the gzip file is damaged or cut off in the header; unpack it or copy it again.",
            _folder.Refusal(_folder.File(packed)));
    }

    [Fact]
    public void A_gzip_file_that_was_cut_off_is_refused_and_not_taken_for_a_shorter_log()
    {
        var packed = LogFolder.Gzip(LogFolder.Text(wet: 3000));

        var sentence = _folder.Refusal(_folder.File(packed[..(packed.Length / 2)]));

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
            _folder.Refusal(_folder.File(text)));
    }

    [Fact]
    public void A_note_of_several_lines_does_no_harm()
    {
        var rows = LogFolder.Rows().Select((row, hour) => hour == 4 ? $"\"pruned,\nthen rain\",{row}" : $"-,{row}");

        AssertUsual(_folder.Judge(LogFolder.Lines([$"note,{LogFolder.Header}", .. rows])));
    }

    [Fact]
    public void A_header_without_rows_has_nothing_to_judge()
    {
        var result = _folder.Judge(LogFolder.Header + "\n");

        Assert.Equal((0, 0, 0), (result.Rows, result.Intervals, result.RejectedCount));
        var text = new StringWriter();
        ReplayText.Write(result, text);
        Assert.Equal($"{result.Logs[0]}: no rows, so there is nothing to judge.{Environment.NewLine}", text.ToString());
    }

    [Fact]
    public void A_row_with_too_few_fields_is_left_out_alone()
    {
        var result = _folder.Judge(Changed(hour: 3, "2027-02-01T03:00:00Z,9.5"));

        AssertRejected(result, line: 5, "has 2 fields where the header has 4");
        Assert.Equal(15, Assert.Single(result.Spells).WetHours);
    }

    [Fact]
    public void A_quote_that_is_never_closed_is_named_with_the_lines_it_swallows()
    {
        var result = _folder.Judge(Changed(hour: 10, "2027-02-01T10:00:00Z,9.5,\"95,0"));

        AssertRejected(result, line: 12, "a quote opens here and swallows the lines up to 23; none of them is taken");
        Assert.Equal(10, Assert.Single(result.Spells).WetHours);

        result = _folder.Judge(
            Changed(hour: 10, "2027-02-01T10:00:00Z,9.5,\"95,0")
                .Replace("T12:00:00Z,9.5,95", "T12:00:00Z,9.5,95\"", StringComparison.Ordinal));

        AssertRejected(result, line: 12, "a quote opens here and swallows the lines up to 14; none of them is taken");
        Assert.Equal(13, Assert.Single(result.Spells).WetHours);
    }

    [Theory]
    [InlineData("warm,95,0", "temperature \"warm\" is not a number")]
    [InlineData("9..5,95,0", "temperature \"9..5\" is not a number")]
    [InlineData("999,95,0", "temperature 999 cannot be: taken are -60 to 60 °C")]
    public void A_wrong_value_is_left_out_and_its_neighbours_are_kept(string fields, string reason)
    {
        var result = _folder.Judge(Changed(hour: 3, $"2027-02-01T03:00:00Z,{fields}"));

        AssertRejected(result, line: 5, reason);
        var spell = Assert.Single(result.Spells);
        Assert.Equal((16, 4.5, 9.5), (spell.WetHours, spell.RainMm, spell.MeanTempC));
    }

    [Theory]
    [InlineData("9.5,300,0", "humidity 300 cannot be: taken are above 0 to 105 %")]
    [InlineData("9.5,60,-1", "rain -1 cannot be: taken are 0 to 250 mm")]
    public void Other_impossible_values_are_named_too(string fields, string reason)
    {
        var result = _folder.Judge(Changed(hour: 3, $"2027-02-01T03:00:00Z,{fields}"));

        AssertRejected(result, line: 5, reason);
        Assert.Equal((15, 9.5), (Assert.Single(result.Spells).WetHours, result.Spells[0].MeanTempC));
    }

    [Theory]
    [InlineData("")]
    [InlineData("NA")]
    [InlineData("--")]
    public void The_marks_of_loggers_for_nothing_are_missing_values_without_a_word(string mark)
    {
        var result = _folder.Judge(Changed(hour: 3, $"2027-02-01T03:00:00Z,{mark},95,{mark}"));

        AssertUsual(result);
    }

    [Fact]
    public void A_time_that_is_none_is_named()
    {
        AssertRejected(
            _folder.Judge(Changed(hour: 3, "yesterday,9.5,95,0")),
            line: 5,
            "\"yesterday\" is not a time such as 2027-02-01T06:00:00Z");
        AssertRejected(
            _folder.Judge(Changed(hour: 3, "2027-02-30T03:00:00Z,9.5,95,0")),
            line: 5,
            "\"2027-02-30T03:00:00Z\" is not a time such as 2027-02-01T06:00:00Z");
    }

    [Fact]
    public void A_time_that_goes_back_is_left_out() =>
        AssertRejected(
            _folder.Judge(Changed(hour: 5, "2027-02-01T02:00:00Z,9.5,95,0")),
            line: 7,
            "its time 2027-02-01T02:00:00Z is earlier than the row before (2027-02-01T04:00:00Z)");

    [Fact]
    public void Of_a_repeated_time_the_first_row_counts()
    {
        var result = _folder.Judge(Changed(hour: 5, "2027-02-01T04:00:00Z,30,10,200"));

        AssertRejected(result, line: 7, "its time 2027-02-01T04:00:00Z is that of line 6 already; the first row counts");
        Assert.Equal((4.5, 9.5), (Assert.Single(result.Spells).RainMm, result.Spells[0].MeanTempC));
    }

    [Fact]
    public void A_single_row_that_leaps_years_ahead_is_the_one_left_out()
    {
        var middle = _folder.Judge(Changed(hour: 5, "2035-02-01T05:00:00Z,9.5,95,0"));
        AssertRejected(middle, line: 7, "its time leaps ahead to 2035-02-01T05:00:00Z and the next row is back at 2027-02-01T06:00:00Z");
        Assert.Equal((15, 22), (Assert.Single(middle.Spells).WetHours, middle.Intervals));

        var end = _folder.Judge(Changed(hour: 21, "2035-02-01T05:00:00Z,9.5,95,0"));
        AssertRejected(
            end,
            line: 23,
            "its time leaps ahead to 2035-02-01T05:00:00Z, more than a year after the row before, and no row follows");
        Assert.Equal(21, end.Intervals);
    }

    // Clocks in Madrid go back from 3 to 2 o'clock on 31 October 2027, so 2:00 and 2:30 come twice.
    [Fact]
    public void Local_times_of_the_night_with_an_hour_twice_are_told_apart_by_their_order()
    {
        var zone = TimeZoneInfo.FindSystemTimeZoneById("Europe/Madrid");
        string[] clock = ["01:00", "01:30", "02:00", "02:30", "02:00", "02:30", "03:00", "03:30"];
        var text = LogFolder.Lines([LogFolder.Header, .. clock.Select((time, i) => $"2027-10-31 {time},10,95,{(i == 0 ? 5 : 0)}")]);
        var half = TimeSpan.FromMinutes(30);

        var result = _folder.Judge(
            text,
            new LogOptions
            {
                Period = half,
                Stamp = LogStamp.Start,
                Zone = zone,
            },
            LogFolder.Site with
            {
                Step = half,
                Zone = zone,
            });

        Assert.Equal(0, result.RejectedCount);
        var spell = Assert.Single(result.Spells);
        Assert.Equal(new DateTimeOffset(2027, 10, 30, 23, 0, 0, TimeSpan.Zero), spell.Start);
        Assert.Equal((4.0, 8), (spell.WetHours, result.Intervals));
    }

    [Fact]
    public void A_local_time_that_the_clock_skipped_in_spring_is_named()
    {
        var text = LogFolder.Lines(LogFolder.Header, "2027-03-28 01:00,10,95,5", "2027-03-28 02:30,10,95,0", "2027-03-28 03:00,10,95,0");

        var result = _folder.Judge(text, LogFolder.Hourly with { Zone = TimeZoneInfo.FindSystemTimeZoneById("Europe/Madrid") });

        AssertRejected(result, line: 3, "\"2027-03-28 02:30\" was on no clock in Europe/Madrid: clocks went forward over it");
        Assert.Equal(2, Assert.Single(result.Spells).WetHours);
    }

    [Fact]
    public void Two_files_with_different_columns_are_one_log()
    {
        var rows = LogFolder.Rows().Select(row => row.Split(',')).ToList();
        var air = _folder.File(
            LogFolder.Lines(["time,temperature_c,humidity_pct", .. rows.Select(f => $"{f[0]},{f[1]},{f[2]}")]),
            "air.csv");
        var rain = _folder.File(LogFolder.Lines(["time,rain_mm", .. rows.Select(f => $"{f[0]},{f[3]}")]), "rain.csv");

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
        var first = _folder.File(LogFolder.Text(), "first.csv");
        var second = _folder.File(LogFolder.Text().Replace("9.5", "12", StringComparison.Ordinal), "second.csv");

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
        var result = _folder.Judge(LogFolder.Text(), LogFolder.Hourly with { To = LogFolder.Start.AddHours(10) });
        Assert.Equal((10, 10), (Assert.Single(result.Spells).WetHours, result.Intervals));

        result = _folder.Judge(LogFolder.Text(), LogFolder.Hourly with { From = LogFolder.Start.AddHours(1) });
        Assert.Empty(result.Spells); // The hour with the rain is cut off.
        Assert.Equal(LogFolder.Start.AddHours(1), result.Start);
    }

    [Fact]
    public void Stamps_at_the_end_of_the_hour_describe_the_hour_before()
    {
        var result = _folder.Judge(LogFolder.Text(), LogFolder.Hourly with { Stamp = LogStamp.End });

        Assert.Equal(
            (LogFolder.Start.AddHours(-1), LogFolder.Start.AddHours(15)),
            (Assert.Single(result.Spells).Start, result.Spells[0].End));
    }

    [Fact]
    public void A_row_is_cut_where_the_next_one_begins()
    {
        var text = LogFolder.Lines(
            LogFolder.Header,
            "2027-02-01T00:00:00Z,9.5,95,4",
            "2027-02-01T00:30:00Z,9.5,95,0",
            "2027-02-01T01:00:00Z,9.5,60,0");

        var result = _folder.Judge(text, site: LogFolder.Site with { Step = TimeSpan.FromMinutes(30) });

        var spell = Assert.Single(result.Spells);
        Assert.Equal((1.0, 4.0, LogFolder.Start.AddHours(1)), (spell.WetHours, spell.RainMm, spell.End));
    }

    [Fact]
    public void Times_come_in_several_forms()
    {
        foreach (
            var form in new Func<DateTimeOffset, string>[]
            {
                time => $"{time.ToUnixTimeSeconds()}",
                time => $"{time.ToUnixTimeMilliseconds()}",
                time => $"{time:yyyy-MM-dd HH:mm}",
                time => $"{time.ToOffset(TimeSpan.FromHours(5.5)):yyyy-MM-dd'T'HH:mm:sszzz}",
            })
        {
            AssertUsual(
                _folder.Judge(
                    LogFolder.Lines([
                        LogFolder.Header,
                        .. LogFolder.Rows().Select((row, hour) => form(LogFolder.Start.AddHours(hour)) + row[row.IndexOf(',')..]),
                    ])));
        }
    }

    [Fact]
    public void A_text_in_another_encoding_still_gives_its_numbers()
    {
        var latin = Encoding.Latin1.GetBytes(
            LogFolder.Lines(["note,time,temperature_c,humidity_pct,rain_mm", .. LogFolder.Rows().Select(row => $"für Pfirsich,{row}")]));

        AssertUsual(Judge(_folder.File(latin)));
    }

    private static ReplayResult Judge(string path) => Replay.Run(LogFolder.Site, [path], LogFolder.Hourly);

    private static string Changed(int hour, string row) =>
        LogFolder.Lines([LogFolder.Header, .. LogFolder.Rows().Select((usual, i) => i == hour ? row : usual)]);

    /// <summary>The spell of <see cref="LogFolder.Text"/>, and nothing refused.</summary>
    private static void AssertUsual(ReplayResult result)
    {
        Assert.Empty(result.Rejected);
        Assert.Equal(
            new WetSpell(LogFolder.Start, LogFolder.Start.AddHours(16), 16, 4.5, 9.5, 9.5, 9.5, false, false),
            Assert.Single(result.Spells));
    }

    private static void AssertRejected(ReplayResult result, long line, string reason)
    {
        var row = Assert.Single(result.Rejected);
        Assert.Equal((line, reason), (row.Line, row.Reason));
        Assert.Equal(1, result.RejectedCount);
    }
}
