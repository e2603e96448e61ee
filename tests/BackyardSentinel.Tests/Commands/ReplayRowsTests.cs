using BackyardSentinel.Logs;

namespace BackyardSentinel.Tests.Commands;

/// <summary>Rows, values and times as people have them: the right answer, or one clear sentence.</summary>
public sealed class ReplayRowsTests : ReplayInputBench
{
    [Fact]
    public void A_row_with_too_few_fields_is_left_out_alone()
    {
        var result = Folder.Judge(Changed(hour: 3, "2027-02-01T03:00:00Z,9.5"));

        AssertRejected(result, line: 5, "has 2 fields where the header has 4");
        Assert.Equal(15, Assert.Single(result.Spells).WetHours);
    }

    [Theory]
    [InlineData("2027-02-01T03:00:00Z,9.5,95,0,7")]
    [InlineData("2027-02-01T03:00Z,9,5,95,0")] // a decimal comma
    [InlineData("2027-02-01T03:00:00Z,9.5,95,\"0\",7")]
    public void A_row_with_more_fields_than_the_header_has_is_left_out_alone(string row)
    {
        var result = Folder.Judge(Changed(hour: 3, row));

        AssertRejected(
            result,
            line: 5,
            "has 5 fields where the header has 4; where numbers have decimal commas, save the log with semicolons between its columns");
        Assert.Equal(15, Assert.Single(result.Spells).WetHours);
    }

    [Theory]
    [InlineData("2027-02-01T03:00:00Z,9.5,95,0,,")]
    [InlineData("2027-02-01T03:00:00Z,9.5,95,0, ")]
    public void Fields_beyond_the_header_that_hold_nothing_do_no_harm(string row)
    {
        var result = Folder.Judge(Changed(hour: 3, row));

        Assert.Empty(result.Rejected);
        Assert.Equal(16, Assert.Single(result.Spells).WetHours);
    }

    [Fact]
    public void A_quote_that_is_never_closed_is_named_with_the_lines_it_swallows()
    {
        var result = Folder.Judge(Changed(hour: 10, "2027-02-01T10:00:00Z,9.5,\"95,0"));

        AssertRejected(result, line: 12, "a quote opens here and swallows the lines up to 23; none of them is taken");
        Assert.Equal(10, Assert.Single(result.Spells).WetHours);

        result = Folder.Judge(
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
        var result = Folder.Judge(Changed(hour: 3, $"2027-02-01T03:00:00Z,{fields}"));

        AssertRejected(result, line: 5, reason);
        var spell = Assert.Single(result.Spells);
        Assert.Equal((16, 4.5, 9.5), (spell.WetHours, spell.RainMm, spell.MeanTempC));
    }

    [Theory]
    [InlineData("9.5,300,0", "humidity 300 cannot be: taken are above 0 to 105 %")]
    [InlineData("9.5,60,-1", "rain -1 cannot be: taken are 0 to 250 mm")]
    public void Other_impossible_values_are_named_too(string fields, string reason)
    {
        var result = Folder.Judge(Changed(hour: 3, $"2027-02-01T03:00:00Z,{fields}"));

        AssertRejected(result, line: 5, reason);
        Assert.Equal((15, 9.5), (Assert.Single(result.Spells).WetHours, result.Spells[0].MeanTempC));
    }

    [Theory]
    [InlineData("")]
    [InlineData("NA")]
    [InlineData("--")]
    public void The_marks_of_loggers_for_nothing_are_missing_values_without_a_word(string mark)
    {
        var result = Folder.Judge(Changed(hour: 3, $"2027-02-01T03:00:00Z,{mark},95,{mark}"));

        AssertUsual(result);
    }

    [Fact]
    public void A_time_that_is_none_is_named()
    {
        AssertRejected(
            Folder.Judge(Changed(hour: 3, "yesterday,9.5,95,0")),
            line: 5,
            "\"yesterday\" is not a time such as 2027-02-01T06:00:00Z");
        AssertRejected(
            Folder.Judge(Changed(hour: 3, "2027-02-30T03:00:00Z,9.5,95,0")),
            line: 5,
            "\"2027-02-30T03:00:00Z\" is not a time such as 2027-02-01T06:00:00Z");
    }

    [Fact]
    public void A_time_that_goes_back_is_left_out() =>
        AssertRejected(
            Folder.Judge(Changed(hour: 5, "2027-02-01T02:00:00Z,9.5,95,0")),
            line: 7,
            "its time 2027-02-01T02:00:00Z is earlier than the row before (2027-02-01T04:00:00Z)");

    [Fact]
    public void A_log_that_runs_backwards_is_told_as_such_once()
    {
        var result = Folder.Judge(LogFolder.Lines([LogFolder.Header, .. LogFolder.Rows().Reverse()]));

        Assert.Equal(LogFolder.Rows().Count() - 1, result.RejectedCount);
        Assert.EndsWith(
            "; the log seems to run backwards: sort its rows by their time",
            Assert.Single(result.Rejected, row => row.Reason.Contains(';', StringComparison.Ordinal)).Reason,
            StringComparison.Ordinal);
    }

    [Fact]
    public void A_first_row_of_a_far_year_is_named_to_those_that_are_left_out_for_it()
    {
        var result = Folder.Judge(Changed(hour: 0, "2100-01-01T00:00:00Z,9.5,95,0"));

        Assert.EndsWith(
            "is earlier than the row before (2100-01-01T00:00:00Z); if it is line 2 whose time is wrong, take that row out",
            Assert.Single(result.Rejected, row => row.Reason.Contains(';', StringComparison.Ordinal)).Reason,
            StringComparison.Ordinal);
    }

    [Fact]
    public void A_first_row_from_before_the_clock_was_set_is_left_out() =>
        AssertRejected(
            Folder.Judge(Changed(hour: 0, "1970-01-01T00:00:12Z,9.5,95,0")),
            line: 2,
            "its time 1970-01-01T00:00:12Z is more than a year before the next row, as of a logger whose clock was not set");

    [Fact]
    public void Of_a_repeated_time_the_first_row_counts()
    {
        var result = Folder.Judge(Changed(hour: 5, "2027-02-01T04:00:00Z,30,10,200"));

        AssertRejected(result, line: 7, "its time 2027-02-01T04:00:00Z is that of line 6 already; the first row counts");
        Assert.Equal((4.5, 9.5), (Assert.Single(result.Spells).RainMm, result.Spells[0].MeanTempC));
    }

    [Fact]
    public void A_single_row_that_leaps_years_ahead_is_the_one_left_out()
    {
        var middle = Folder.Judge(Changed(hour: 5, "2035-02-01T05:00:00Z,9.5,95,0"));
        AssertRejected(middle, line: 7, "its time leaps ahead to 2035-02-01T05:00:00Z and the next row is back at 2027-02-01T06:00:00Z");
        Assert.Equal((15, 22), (Assert.Single(middle.Spells).WetHours, middle.Intervals));

        var end = Folder.Judge(Changed(hour: 21, "2035-02-01T05:00:00Z,9.5,95,0"));
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

        var result = Folder.Judge(
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

        var result = Folder.Judge(text, LogFolder.Hourly with { Zone = TimeZoneInfo.FindSystemTimeZoneById("Europe/Madrid") });

        AssertRejected(result, line: 3, "\"2027-03-28 02:30\" was on no clock in Europe/Madrid: clocks went forward over it");
        Assert.Equal(2, Assert.Single(result.Spells).WetHours);
    }

    [Fact]
    public void Stamps_at_the_end_of_the_hour_describe_the_hour_before()
    {
        var result = Folder.Judge(LogFolder.Text(), LogFolder.Hourly with { Stamp = LogStamp.End });

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

        var result = Folder.Judge(text, site: LogFolder.Site with { Step = TimeSpan.FromMinutes(30) });

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
                Folder.Judge(
                    LogFolder.Lines([
                        LogFolder.Header,
                        .. LogFolder.Rows().Select((row, hour) => form(LogFolder.Start.AddHours(hour)) + row[row.IndexOf(',')..]),
                    ])));
        }
    }
}
