using BackyardSentinel.Spraying;
using static BackyardSentinel.Tests.Planning.SprayGarden;

namespace BackyardSentinel.Tests.Spraying;

public class SprayLedgerTests
{
    private static readonly DateOnly SeasonEnd = new(2027, 8, 31);

    private static readonly Gen<SprayEntry[]> GenEntries = Gen.Select(
            Gen.Int[0, 4000], Gen.Int[-1, 40], Gen.Int[0, 12], Gen.Int[0, 4], Gen.Bool,
            (day, volume, dose, product, other) => new SprayEntry(
                0, "south-wall", other ? "gate-nectarine" : Peach, new DateOnly(2018, 1, 1).AddDays(day),
                new[] { "copper", "lime-sulfur", "oil", "no-such", "copper" }[product], volume / 4.0, dose == 0 ? null : dose / 2.0))
        .Array[0, 25].Select(entries => entries.Select((entry, i) => entry with { Number = i + 1 }).ToArray());

    // Arithmetic by hand: 1 kg/ha is 0.1 g/m²; the top 20 cm of a m² at 1.3 t/m³ weigh 260 kg.
    [Theory]
    [InlineData(1, 0.385, 0.0005)]
    [InlineData(28, 10.8, 0.05)]
    public void Copper_in_the_top_soil_is_what_arithmetic_says(double kgPerHa, double mgPerKg, double within)
    {
        // 10 m² under the canopy: so many kg/ha are as many grams.
        var balance = Ledger(Spray(1, "2027-01-10", volumeL: 1, dose: kgPerHa / 0.5)).Balance(Peach, Today);

        Assert.Equal(kgPerHa, balance.SeasonKgPerHa!.Value, 1e-9);
        Assert.Equal(mgPerKg, balance.SoilMgPerKg!.Value, within);
    }

    // Garden-scale arithmetic by hand: 5 L at 3.75 g/L of copper on 10 m² is 18.75 g = 18.75 kg/ha, 4.7 times the mean of 4
    // in Regulation (EU) 2018/1981, and 7.2 mg/kg; 0.18 g/L from a copper soap is 0.9 kg/ha.
    [Fact]
    public void One_spray_of_a_small_tree_is_counted()
    {
        var ledger = Ledger(SprayTemplates.All, Spray(1, "2027-01-10", "fixed-copper"));
        var balance = ledger.Balance(Peach, Today);

        Assert.Equal(18.75, balance.SeasonG, 1e-9);
        Assert.Equal(18.75, balance.SeasonKgPerHa!.Value, 1e-9);
        Assert.Equal(7.2, balance.SoilMgPerKg!.Value, 0.02);
        Assert.Contains("4.7 times", CopperBenchmark.Beside(balance, UnitSystem.Metric)[0].Text, StringComparison.Ordinal);
        Assert.Equal(
            0.9,
            Ledger(SprayTemplates.All, Spray(1, "2027-01-10", "copper-soap")).Balance(Peach, Today).SeasonKgPerHa!.Value,
            1e-9);
    }

    // Regulation (EU) 2018/1981, annex: at most 28 kg/ha of copper in seven years.
    [Theory]
    [InlineData(27, "within")]
    [InlineData(28, "within")]
    [InlineData(29, "over")]
    public void Seven_years_are_set_against_the_regulations_28_kilograms(double kgPerHa, string word)
    {
        var seven = Enumerable.Range(0, 7).Select(i => Spray(i + 1, $"{2021 + i}-01-10", volumeL: 1, dose: kgPerHa / 7 / 0.5)).ToArray();
        // What was sprayed in the season before those seven does not count.
        var balance = Ledger([.. seven, Spray(9, "2020-01-10", volumeL: 100)]).Balance(Peach, Today);

        Assert.Equal(kgPerHa, balance.SevenYearKgPerHa!.Value, 1e-9);
        Assert.Contains($"{word} its 28 kg/ha", CopperBenchmark.Beside(balance, UnitSystem.Metric)[1].Text, StringComparison.Ordinal);
        Assert.Contains("not law for a garden", CopperBenchmark.Beside(balance, UnitSystem.Metric)[^1].Text, StringComparison.Ordinal);
    }

    [Fact]
    public void Seasons_are_kept_apart_and_later_sprays_do_not_count_yet()
    {
        var ledger = Ledger(Spray(1, "2026-08-31"), Spray(2, "2026-09-01"), Spray(3, "2027-01-21"));

        Assert.Equal(10, ledger.Balance(Peach, Today).SeasonG, 1e-9);
        Assert.Equal(20, ledger.Balance(Peach, Today).SevenYearG, 1e-9);
        Assert.Equal(20, ledger.Balance(Peach, SeasonEnd).SeasonG, 1e-9);
        Assert.Equal(new DateOnly(2026, 9, 1), ledger.SeasonStart(Today));
    }

    [Fact]
    public void What_cannot_be_counted_becomes_a_finding_and_the_rest_still_counts()
    {
        var ledger = Ledger(
            Spray(1, "2027-01-01", "nameless"), Spray(2, "2027-01-02", volumeL: -3), Spray(3, "2027-01-03", volumeL: 0),
            Spray(4, "2027-01-04", dose: 0), Spray(5, "2027-01-05", volumeL: double.NaN), Spray(6, "2027-01-06"));

        Assert.Equal(5, ledger.Findings.Count);
        Assert.Equal(
            "Journal entry 1, spray on white-peach on 2027-01-01, names the product nameless, which the garden file does not have; "
                + "add it there so that it counts.",
            ledger.Findings[0].Text);
        Assert.Equal(10, ledger.Balance(Peach, Today).SeasonG, 1e-9);
        Assert.Empty(Ledger(Spray(1, "2027-01-04", volumeL: 0.5, dose: 0.5)).Findings);
    }

    [Fact]
    public void A_spray_written_down_twice_is_told()
    {
        var ledger = Ledger(Spray(1, "2027-01-10"), Spray(4, "2027-01-10"), Spray(5, "2027-01-10", "oil"), Spray(6, "2027-01-11"));

        Assert.Contains("entries 1 and 4", Assert.Single(ledger.Findings).Text, StringComparison.Ordinal);
        Assert.Equal(30, ledger.Balance(Peach, Today).SeasonG, 1e-9);
    }

    [Fact]
    public void A_copper_without_content_or_dose_or_area_is_never_counted_as_nothing_in_silence()
    {
        var noContent = Ledger([Copper with { CopperPct = null }], Spray(1, "2027-01-10"));
        var noDose = Ledger([Copper with { DosePerL = null }], Spray(1, "2027-01-10"));
        var noArea = Ledger(Spray(1, "2027-01-10", planting: "gate-nectarine"));

        Assert.Contains("content or density is not known", Assert.Single(noContent.Findings).Text, StringComparison.Ordinal);
        Assert.Contains("the dose is not known", Assert.Single(noDose.Findings).Text, StringComparison.Ordinal);
        Assert.Contains("canopy_area", Assert.Single(noArea.Findings).Text, StringComparison.Ordinal);
        Assert.Null(Assert.Single(noContent.Applications).CopperG);
        Assert.Equal((0, 1), (noContent.Balance(Peach, Today).SeasonG, noContent.Balance(Peach, Today).Uncounted));
        Assert.Equal(0, noArea.Balance("gate-nectarine", Today).Uncounted);
        Assert.Null(noArea.Balance("gate-nectarine", Today).SeasonKgPerHa);
        Assert.Equal(10, noArea.Balance("gate-nectarine", Today).SeasonG, 1e-9);
    }

    [Fact]
    public void What_the_label_still_allows_is_told()
    {
        var product = Copper with { Label = new() { MaxApplicationsPerSeason = 3, MaxCopperKgPerHaPerSeason = 25, MinDaysBetween = 14 } };
        var twin = Copper with { Id = "twin" };
        var allowance = Ledger([product, twin], Spray(1, "2026-11-20"), Spray(2, "2027-01-10", "twin")).Allowance(product, Peach, Today);

        // Copper of any name uses up the copper and starts the interval; applications are the product's own.
        Assert.Equal(2, allowance.ApplicationsLeft);
        Assert.Equal(5, allowance.CopperLeftKgPerHa!.Value, 1e-9);
        Assert.Equal(new DateOnly(2027, 1, 24), allowance.NotBefore);
        Assert.Equal(new LabelAllowance(null, null, null), Ledger().Allowance(Copper, Peach, Today));
    }

    [Fact]
    public void Only_copper_starts_the_interval_of_another_copper()
    {
        var copper = Copper with { Label = new() { MinDaysBetween = 14 } };
        var lime = LimeSulfur with { Label = new() { MinDaysBetween = 14 } };
        var ledger = Ledger([copper, lime, Oil], Spray(1, "2027-01-05"), Spray(2, "2027-01-08", "oil"));

        Assert.Equal(new DateOnly(2027, 1, 19), ledger.Allowance(copper, Peach, Today).NotBefore);
        Assert.Null(ledger.Allowance(lime, Peach, Today).NotBefore);
    }

    [Fact]
    public void Another_plantings_sprays_and_those_to_come_are_not_this_ones()
    {
        var ledger = Ledger(Spray(1, "2027-01-05", planting: "gate-nectarine"), Spray(2, "2027-01-20"), Spray(3, "2027-01-21"));

        Assert.Equal([2L], ledger.InSeason(Peach, Today).Select(application => application.Entry.Number));
        Assert.Equal(10, ledger.Balance(Peach, Today).SeasonG, 1e-9);
    }

    [Fact]
    public void Sprays_without_copper_need_no_canopy_area() =>
        Assert.Empty(Ledger(Spray(1, "2027-01-05", "oil", planting: "gate-nectarine")).Findings);

    [Theory]
    [InlineData(0.1, true)]
    [InlineData(2.65, true)]
    [InlineData(0.09, false)]
    [InlineData(2.66, false)]
    public void A_soil_is_no_lighter_than_peat_and_no_heavier_than_rock(double densityTPerM3, bool taken)
    {
        SprayLedger Made() => new([], [], new Dictionary<string, double>(), SeasonOf, densityTPerM3);

        Assert.Equal(taken, Record.Exception(Made) is null);
    }

    [Theory]
    [InlineData(0.1, true)]
    [InlineData(0, false)]
    [InlineData(-1, false)]
    [InlineData(double.NaN, false)]
    [InlineData(double.PositiveInfinity, false)]
    public void A_canopy_covers_some_ground(double areaM2, bool taken)
    {
        SprayLedger Made() => new([], [], new Dictionary<string, double> { [Peach] = areaM2 }, SeasonOf);

        Assert.Equal(taken, Record.Exception(Made) is null);
    }

    [Fact]
    public void Of_one_day_the_noted_hours_order_the_sprays_and_one_without_counts_at_noon()
    {
        var ledger = Ledger(
            Spray(1, "2027-01-10") with { At = new TimeOnly(13, 0) },
            Spray(2, "2027-01-10", "oil"),
            Spray(3, "2027-01-10", "lime-sulfur") with { At = new TimeOnly(11, 0) },
            Spray(4, "2027-01-09"));

        Assert.Equal([4L, 3L, 2L, 1L], ledger.Applications.Select(application => application.Entry.Number));

        var bothAtNoon = Ledger(Spray(1, "2027-01-10"), Spray(2, "2027-01-10", "oil") with { At = new TimeOnly(12, 0) });
        Assert.Equal([1L, 2L], bothAtNoon.Applications.Select(application => application.Entry.Number));
    }

    [Fact]
    public void The_order_of_entries_changes_nothing() =>
        Gen.Select(GenEntries, Gen.Int[0, 1_000_000]).Sample((entries, seed) =>
        {
            var random = new Random(seed);
            var (a, b) = (Ledger(entries), Ledger([.. entries.OrderBy(_ => random.Next())]));
            Assert.Equal(a.Findings, b.Findings);
            Assert.Equal(a.Applications, b.Applications);
            Assert.Equal(a.Balance(Peach, Today), b.Balance(Peach, Today));
        }, iter: 200);

    [Fact]
    public void The_copper_of_two_journals_is_the_sum_of_each() =>
        Gen.Select(GenEntries, GenEntries).Sample((one, other) =>
        {
            var (a, b) = (Ledger(one).Balance(Peach, Today), Ledger(other).Balance(Peach, Today));
            var both = Ledger([.. one, .. other.Select(entry => entry with { Number = entry.Number + 100 })]).Balance(Peach, Today);
            Assert.Equal(a.SeasonG + b.SeasonG, both.SeasonG, 9);
            Assert.Equal(a.SevenYearG + b.SevenYearG, both.SevenYearG, 9);
            Assert.Equal(a.SoilMgPerKg!.Value + b.SoilMgPerKg!.Value, both.SoilMgPerKg!.Value, 9);
        }, iter: 200);
}
