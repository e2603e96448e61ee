using System.Text;

namespace BackyardSentinel.Tests.Phenology;

/// <summary>
/// Whole years of trees, put down every twenty days in tests/scenarios/stages: what has been summed, how far each bud is and may be,
/// and what lies ahead. They hold the code to what was looked at, not to nature; what comes from outside is in the other tests of this
/// folder. Where a change is meant, <c>BACKYARD_SENTINEL_WRITE=1</c> writes them anew, and their difference is what changed.
/// </summary>
public sealed class TreeYearTests
{
    private static readonly DailyClimate Usual = DailyClimate.FromMonths(
        [-2, -1, 2, 5, 9, 12, 14, 14, 10, 6, 2, -1], [4, 6, 10, 15, 19, 23, 25, 25, 21, 15, 9, 5]);

    private static readonly DateTimeOffset Autumn = Winter.Utc(2026, 9, 1);

    private static readonly Dictionary<string, Func<TreeYear>> Years = new(StringComparer.Ordinal)
    {
        ["two-seasons"] = () => new TreeYear(Winter.Hours(Autumn, 700)),
        ["utah-units"] = () => new TreeYear(Winter.Hours(Autumn, 300)) { Needs = Needs(ChillModel.Utah, 700) },
        ["positive-utah-units"] = () => new TreeYear(Winter.Hours(Autumn, 300)) { Needs = Needs(ChillModel.PositiveUtah, 800) },
        ["chilling-hours"] = () => new TreeYear(Winter.Hours(Autumn, 300)) { Needs = Needs(ChillModel.Hours, 600) },
        ["a-warm-winter"] = () => new TreeYear(Winter.Hours(Autumn, 300, _ => 9)),
        ["a-cold-spring"] = () => new TreeYear(Winter.Hours(Autumn, 330, at => at.Month is 3 or 4 ? -6 : 0)),
        ["holes"] = () => new TreeYear(Holed()),
        ["holes-and-a-usual-year"] = () => new TreeYear(Holed()) { HasUsual = true },
        ["holes-in-hours-of-chill"] = () => new TreeYear(Holed()) { HasUsual = true, Needs = Needs(ChillModel.Hours, 600) },
        ["a-hole-before-chill-counts"] = () => new TreeYear(Winter.Hours(Autumn, 200).Where(hour =>
            hour.Start < Winter.Utc(2026, 9, 12, 13) || hour.Start >= Winter.Utc(2026, 10, 25, 7))),
        ["begun-a-day-late"] = () => new TreeYear(Winter.Hours(Winter.Utc(2026, 11, 1, 23), 60)),
        ["begun-in-january"] = () => new TreeYear(Winter.Hours(Winter.Utc(2027, 1, 20, 7), 160)),
        ["begun-in-january-with-a-usual-year"] = () => new TreeYear(Winter.Hours(Winter.Utc(2027, 1, 20, 7), 160)) { HasUsual = true },
        ["begun-in-may"] = () => new TreeYear(Winter.Hours(Winter.Utc(2027, 5, 3), 200)),
        ["seen"] = () => new TreeYear(Winter.Hours(Autumn, 300))
        {
            Seen =
            [
                ("2027-01-10", 0), ("2027-02-20", 1), ("2027-02-28", 51), ("2027-03-05", 1), ("2027-03-09", 65), ("2027-03-20", 9),
                ("2027-03-15", 57),
            ],
        },
        ["seen-late"] = () =>
            new TreeYear(Winter.Hours(Autumn, 330)) { Seen = [("2027-03-30", 0), ("2027-04-20", 53), ("2027-05-02", 69)] },
        ["seen-early"] = () =>
            new TreeYear(Winter.Hours(Autumn, 300)) { Seen = [("2026-12-20", 7), ("2027-01-05", 60), ("2027-02-01", 93)] },
        ["without-a-place"] = () =>
            new TreeYear(Winter.Hours(Autumn, 330)) { Latitude = null, Seen = [("2026-10-01", 0), ("2027-02-20", 1)] },
        ["without-a-place-or-a-look"] = () => new TreeYear(Winter.Hours(Autumn, 60)) { Latitude = null },
        ["southern"] = () => new TreeYear(Winter.Hours(Autumn, 300).Select(hour =>
            new HourTemperature(hour.Start.AddDays(184), hour.TempC, hour.Source)))
        { Latitude = -36.8 },
    };

    public static TheoryData<string> Names => [.. Years.Keys];

    [Theory]
    [MemberData(nameof(Names))]
    public void A_trees_year_is_as_it_was_put_down(string name)
    {
        var told = Years[name]().Told();
        var path = Path.Combine(OutsideData.Scenarios("stages"), name + ".txt");
        if (Environment.GetEnvironmentVariable("BACKYARD_SENTINEL_WRITE") == "1")
            File.WriteAllText(path, told);

        Assert.Equal(File.ReadAllText(path).ReplaceLineEndings("\n"), told);
    }

    [Fact]
    public void Every_year_that_is_put_down_is_lived_through() =>
        Assert.Equal(
            Years.Keys.Order(StringComparer.Ordinal),
            Directory.EnumerateFiles(OutsideData.Scenarios("stages"))
                .Select(Path.GetFileNameWithoutExtension)
                .Order(StringComparer.Ordinal));

    /// <summary>Holes of three hours to a month, one at the season's beginning.</summary>
    private static IEnumerable<HourTemperature> Holed()
    {
        (DateTimeOffset From, int Hours)[] holes =
        [
            (Winter.Utc(2026, 9, 28), 100), (Winter.Utc(2026, 11, 10, 5), 3), (Winter.Utc(2026, 11, 20, 5), 9),
            (Winter.Utc(2026, 12, 5), 30), (Winter.Utc(2027, 1, 2), 720), (Winter.Utc(2027, 2, 20), 120), (Winter.Utc(2027, 3, 12, 10), 30),
        ];
        return Winter.Hours(Autumn, 300).Where(hour =>
            !holes.Any(hole => hour.Start >= hole.From && hour.Start < hole.From.AddHours(hole.Hours)));
    }

    private static StageNeeds Needs(ChillModel chill, double need) =>
        StageNeeds.TryCreate(
            chill, need, HeatFunction.Linear47, StageNeeds.Default.Stages, StageNeeds.DefaultSpread, out var needs, out var reason)
            ? needs
            : throw new ArgumentException(reason);

    /// <summary>One tree through the hours given.</summary>
    private sealed record TreeYear(IEnumerable<HourTemperature> Hours)
    {
        public StageNeeds Needs { get; init; } = StageNeeds.Default;

        /// <summary>The usual year is given, and stands in where nothing was measured.</summary>
        public bool HasUsual { get; init; }

        public double? Latitude { get; init; } = Winter.Latitude;

        public (string On, int Code)[] Seen { get; init; } = [];

        public string Told()
        {
            List<StageReached> reached = [];
            var text = new StringBuilder();
            var site = new Site
            {
                Id = "garden",
                Zone = Winter.Madrid,
                LatitudeDeg = Latitude,
                LongitudeDeg = Winter.Longitude,
                Climate = TreeYearTests.Usual,
            };
            var seen = Seen.Select((one, i) => new StageEntry(i, "garden", "tree", RecordedYear.Date(one.On), one.Code)).ToList();
            var model = new StageModel(
                Needs,
                new SeasonCalendar(Latitude),
                Winter.Madrid,
                StageObserved.From(seen),
                reached.Add,
                HasUsual ? new UsualHours(TreeYearTests.Usual, Winter.Madrid, Latitude, Winter.Longitude) : null);
            var next = DateTimeOffset.MinValue;
            foreach (var hour in Hours)
            {
                model.Add(hour);
                if (hour.Start < next)
                    continue;
                next = hour.Start.AddDays(20).Date.ToUniversalTime().AddHours(6);
                text.AppendLine(Line(hour, model, site, seen));
            }

            foreach (var one in reached)
                text.AppendLine(string.Create(
                    CultureInfo.InvariantCulture,
                    $"{one.Source} {one.Stage}: {one.Early:MM-dd} {one.On:yyyy-MM-dd} {one.Late:MM-dd}, {one.At:MM-dd HH:mm}"));
            foreach (var doubt in model.Doubts)
                text.AppendLine(doubt);
            return text.ToString().ReplaceLineEndings("\n");
        }

        private static string Line(HourTemperature hour, StageModel model, Site site, IEnumerable<StageEntry> seen)
        {
            var line = FormattableString.Invariant($"{hour.Start:yyyy-MM-dd} {model.Season?.Year} {model.Buds} {model.Source} ")
                + FormattableString.Invariant($"{model.LeafBud}/{model.FlowerBud}, chill {model.ChillSum:0.###} ")
                + FormattableString.Invariant(
                    $"met {model.ChillMetOn:MM-dd}, heat {model.HeatSum:0.##}, lacking {model.UnknownChillHours} h")
                + (model.NeedsNotMet ? ", needs not met" : model.ByHeatAlone ? ", by heat alone" : "");
            if (model.Doubt is not null)
                return $"{line}\n  {model.Doubt}";
            var outlook = new SwellOutlook(site, [], true, null, hour.End);
            var (days, stages) = outlook.StagesOf(model)!.Reckon();
            var swell = outlook.Expect(model, seen);
            return $"{line}\n  {Sums(days[0])}\n  {Sums(days[^1])}:{string.Concat(stages.Select(Ahead))}\n  "
                + FormattableString.Invariant($"swell {swell.Early:MM-dd} {swell.Expected:MM-dd} {swell.Late:MM-dd}: {swell.Basis}");
        }

        private static string Sums(SumsAhead sums) => string.Create(
            CultureInfo.InvariantCulture,
            $"{sums.Day:MM-dd} chill {sums.Chill:0.###} heat {sums.MostHeat:0.##} {sums.Heat:0.##} "
                + $"{sums.LeastHeat:0.##}{(sums.Warming ? " warming" : "")}");

        private static string Ahead((BudStage Stage, StageDates Dates) one) => string.Create(
            CultureInfo.InvariantCulture,
            $" {one.Stage.Code:00} {one.Dates.Early:MM-dd} {one.Dates.Expected:MM-dd} {one.Dates.Late:MM-dd}");
    }
}
