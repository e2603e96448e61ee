using BackyardSentinel.Events;

namespace BackyardSentinel.Tests.Phenology;

/// <summary>
/// The stage as a span over recorded years. The days were computed by an independent program (Python, from hourly means of
/// the same logs), with the assumptions that StageBounds and StageSums name; the logs are of public stations, see the
/// README beside them.
/// </summary>
public class StageSpanTests
{
    private const string Start = "start";

    private static readonly DailyClimate Table = DailyClimate.FromMonths(
        [-4, -3, 1, 7, 12, 18, 21, 20, 16, 9, 4, -1], [4, 6, 11, 17, 22, 28, 30, 29, 25, 19, 13, 7]);

    // Log; chill need; rows left out; from; seen; with the table; then: may be open, expected 01, 09, 11, open, closed.
    public static TheoryData<string, double, string, string, string, bool, string> Cases => new()
    {
        { "sci_cpin", 62.5, "", "2004-09-01", "", false, "02-21 03-07 03-15 03-30 03-22 06-04" },
        { "sci_cpin", 80, "", "2004-09-01", "", false, "02-27 04-04 04-15 04-27 04-20 07-04" },
        { "sci_cpin", 62.5, "", "2005-01-01", "", false, "01-12 04-04 04-15 04-27 04-20 07-04" },
        { "sci_cpin", 62.5, "2004-12-05 2004-12-12", "2004-09-01", "", false, "02-21 03-06 03-14 03-28 03-29 06-09" },
        { "sci_cpin", 62.5, "2005-01-05 2005-01-24", "2004-09-01", "", false, "02-10 02-20 03-05 03-16 03-30 06-09" },
        { "sci_cpin", 62.5, "2005-03-05 2005-03-24", "2004-09-01", "", false, "02-21 03-08 03-22 04-03 04-14 06-26" },
        { "sci_cpin", 62.5, "2005-02-05 2005-12-31", "2004-09-01", "", false, "02-19 ? ? ? - 07-12" },
        { "sci_cpin", 62.5, "", "2004-09-01", "2005-01-05 0 2005-03-10 0", false, "03-12 03-12 03-18 04-01 03-22 06-04" },
        { "sci_cpin", 62.5, "", "2004-09-01", "2005-02-15 1", false, "02-15 02-15 02-27 03-11 02-15 05-02" },
        { "nyc13_ewr", 62.5, "", "2013-01-01", "", false, "01-30 04-07 04-16 04-27 04-15 06-05" },
        { "nyc13_ewr", 18, "", "2013-01-01", "", false, Start + " 03-12 04-09 04-20 03-24 06-05" },
        { "nyc13_ewr", 62.5, "", "2013-01-01", "", true, "01-30 03-12 04-09 04-20 03-30 06-05" },
        { "nyc13_ewr", 62.5, "", "2013-01-01", "2013-02-15 0", false, "02-26 04-07 04-16 04-27 04-15 06-05" },
        { "nyc13_ewr", 62.5, "", "2013-01-01", "2013-04-14 9", false, "01-30 04-07 04-14 04-26 04-14 06-05" },
        { "pnw14_pdx", 62.5, "", "2013-12-31", "", false, "01-20 04-04 04-13 04-28 04-10 06-11" },
        { "pnw14_pdx", 62.5, "", "2013-12-31", "2014-02-15 0", false, "02-17 04-04 04-13 04-28 04-10 06-11" },
        { "whately15", 62.5, "", "2015-01-01", "", false, "04-12 04-13 04-28 05-06 04-16 05-31" },
        { "whately15", 62.5, "2015-03-05 2015-03-24", "2015-01-01", "", false, "03-14 04-13 04-28 05-06 04-16 05-31" },
    };

    [Theory]
    [MemberData(nameof(Cases))]
    public void The_span_of_a_recorded_year_is_the_one_computed_by_an_independent_program(
        string log, double chill, string hole, string from, string seen, bool table, string expected)
    {
        Assert.SkipUnless(RecordedYear.Of(log) is not null, OutsideData.WeatherMissing);
        var (first, holes) = (RecordedYear.Date(from), hole.Split(' ', StringSplitOptions.RemoveEmptyEntries));
        var notes = seen.Split(' ', StringSplitOptions.RemoveEmptyEntries)
            .Chunk(2)
            .Select(pair => (pair[0], int.Parse(pair[1], null)))
            .ToArray();
        var year = RecordedYear
            .Of(log)!
            .With(
                day => day >= first && !(holes.Length > 0 && day >= RecordedYear.Date(holes[0]) && day <= RecordedYear.Date(holes[1])),
                RecordedYear.Chill(chill),
                table ? Table : null,
                notes,
                new DateOnly(first.Month > 6 ? first.Year + 1 : first.Year, 8, 1));

        var (days, closed) = Walk(year);
        var told = expected.Split(' ');
        var grace = hole.Length > 0 || seen.Length > 0 || table ? 2 : 1;
        TestContext.Current.TestOutputHelper!.WriteLine(
            $"{log} {chill} {hole} {seen}: {string.Join(' ', days.Select(day => day?.ToString("MM-dd", null) ?? "-"))} {closed}");

        for (var i = 0; i < 5; i++)
            Near(told[i], days[i], first, grace);
        Near(told[5], closed?.On, first, grace);
    }

    [Fact]
    public void A_cold_January_is_shut_even_where_the_winter_before_was_not_measured()
    {
        Assert.SkipUnless(RecordedYear.Of("nyc13_ewr") is not null, OutsideData.WeatherMissing);
        BudState? state = null;
        RecordedYear.Of("nyc13_ewr")!.Run((watch, day) => state = day == new DateOnly(2013, 1, 13) ? watch.Plantings[0].Stage.Buds : state);

        Assert.Equal(BudState.Shut, state);
    }

    // The bound that stands in StageSums for hours without a measurement, against every recorded stretch.
    [Fact]
    public void No_recorded_stretch_gathers_chill_faster_than_a_hole_is_granted()
    {
        Assert.NotEmpty(RecordedYear.AtHand);
        foreach (var log in RecordedYear.AtHand)
        {
            var model = new DynamicModel();
            var (least, most, after) = (double.PositiveInfinity, 0.0, 0);
            foreach (var (_, tempC) in Straight(RecordedYear.Of(log)!))
            {
                // A stretch that begins here: what is in store does not count against it.
                least = Math.Min(least, model.Portions - (after / 30.0) + model.Intermediate);
                model.Add(tempC);
                after++;
                most = Math.Max(most, model.Portions - (after / 30.0) - least);
            }

            TestContext.Current.TestOutputHelper!.WriteLine($"{log}: at most {most:0.000} portions beside the store and one in 30 h");
            Assert.InRange(most, 0, 1);
        }
    }

    // Holes of an hour to 60 days, and beginnings at any day of the winter: the bounds hold, with four days of grace for
    // the earliest, as one portion falls a cold spell sooner or later.
    [Fact]
    public void Cut_or_holed_anywhere_the_earliest_is_never_later_nor_the_latest_earlier_than_on_the_whole_log()
    {
        var logs = RecordedYear
            .AtHand.Select(log => (Name: log, Year: RecordedYear.Of(log)!, Hours: Straight(RecordedYear.Of(log)!)))
            .ToList();
        var whole = new Dictionary<(string, double), StageDates>();
        Gen.Select(
                Gen.Int[0, logs.Count - 1],
                Gen.Int[0, 2].Select(i => new[] { 18, 62.5, 80 }[i]),
                Gen.Int[0, 100],
                Gen.Int[0, 150 * 24],
                Gen.Int[1, 60 * 24])
            .Sample(
                (which, need, cutDays, holeAt, holeHours) =>
                {
                    var (name, year, hours) = logs[which];
                    var start = name == "sci_cpin" ? new DateTimeOffset(2004, 11, 1, 8, 0, 0, TimeSpan.Zero) : hours[0].Start;
                    StageDates full;
                    lock (whole)
                        full = whole.TryGetValue((name, need), out var known)
                            ? known
                            : whole[(name, need)] = Swell(year, need, hours.Where(hour => hour.Start >= start));
                    var hole = start.AddHours(holeAt);
                    var cut = name == "sci_cpin" ? start.AddDays(cutDays) : start;
                    var holed = Swell(
                        year,
                        need,
                        hours.Where(hour => hour.Start >= cut && !(hour.Start >= hole && hour.Start < hole.AddHours(holeHours))));

                    Assert.True(
                        holed.Early <= full.Early!.Value.AddDays(4),
                        $"{name} {need}: earliest {holed.Early}, on the whole log {full.Early}");
                    Assert.True(
                        (holed.Late ?? DateOnly.MaxValue) >= full.Late,
                        $"{name} {need}: latest {holed.Late}, on the whole log {full.Late}");
                },
                iter: 150);
    }

    // Nothing is known of the warm days before: those after the hole, a month later, say little about its beginning.
    [Fact]
    public void A_hole_at_the_beginning_of_an_autumn_that_cools_does_not_make_the_earliest_later()
    {
        const string Name = "pnw14_pdx";
        Assert.SkipUnless(RecordedYear.AtHand.Contains(Name), "The recorded year of Portland is not at hand.");
        var year = RecordedYear.Of(Name)!;
        var hours = Straight(year);
        var hole = hours[0].Start.AddHours(6);

        var full = Swell(year, 18, hours);
        var holed = Swell(year, 18, hours.Where(hour => hour.Start < hole || hour.Start >= hole.AddHours(765)));

        Assert.True(holed.Early <= full.Early!.Value.AddDays(4), $"earliest {holed.Early}, on the whole log {full.Early}");
    }

    private static StageDates Swell(RecordedYear year, double need, IEnumerable<(DateTimeOffset Start, double TempC)> hours)
    {
        var model = new StageModel(RecordedYear.Chill(need), new SeasonCalendar(year.Latitude), year.Zone, []);
        var dates = default(StageDates);
        foreach (var (start, tempC) in hours)
        {
            if (start.Month is > 6 and < 11 && dates.Early is not null)
                break;
            model.Add(new HourTemperature(start, tempC, HourSource.Measured));
            dates = model.DatesOf(BudStage.LeafBudSwell) is { Early: not null } found ? found : dates;
        }

        return dates;
    }

    /// <summary>The hours of a log with straight lines over gaps up to three hours; longer gaps stay.</summary>
    private static List<(DateTimeOffset Start, double TempC)> Straight(RecordedYear year)
    {
        List<(DateTimeOffset Start, double TempC)> filled = [];
        foreach (var (start, tempC) in year.Hours())
        {
            if (filled.Count > 0 && filled[^1] is var before && (start - before.Start).TotalHours is > 1 and <= 4 and var gap)
            {
                for (var i = 1; i < gap; i++)
                    filled.Add((before.Start.AddHours(i), before.TempC + ((tempC - before.TempC) * i / gap)));
            }

            filled.Add((start, tempC));
        }

        return filled;
    }

    private static void Near(string told, DateOnly? came, DateOnly first, int grace)
    {
        if (told == "?")
            return;
        if (told == "-")
        {
            Assert.Null(came);
            return;
        }

        var on = told == Start ? first : RecordedYear.Date($"{(first.Month > 6 ? first.Year + 1 : first.Year)}-{told}");
        Assert.NotNull(came);
        Assert.True(Math.Abs(came.Value.DayNumber - on.DayNumber) <= grace, $"told {told}, came {came:yyyy-MM-dd}");
    }

    /// <summary>
    /// The days from which the buds may be open, last seen shut before; the expected 01, 09 and 11; and the day from which they are
    /// open.
    /// </summary>
    private static (DateOnly?[] Days, InfectionSeasonClosed? Closed) Walk(RecordedYear year)
    {
        var season = year.Until!.Value.Year;
        var dates = new DateOnly?[3];
        var (_, events) = year.Run((watch, _) =>
        {
            var model = watch.Plantings[0].Stage.Model!;
            for (var i = 0; i < 3 && model.Season?.Year == season; i++)
                dates[i] = model.DatesOf(BudStage.From(new[] { 1, 9, 11 }[i])).Expected ?? dates[i];
        });
        var changes = events.OfType<BudsChanged>().Where(change => change.On.Year == season && change.On.Month < 8).ToList();
        return (
            [
                changes.LastOrDefault(change => change.From == BudState.Shut)?.On,
                .. dates,
                changes.LastOrDefault(change => change.To == BudState.Open)?.On,
            ],
            events.OfType<InfectionSeasonClosed>().FirstOrDefault(closed => closed.On.Year == season));
    }
}
