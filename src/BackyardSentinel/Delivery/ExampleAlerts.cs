using BackyardSentinel.Alerting;
using BackyardSentinel.Garden;
using BackyardSentinel.Infection;
using BackyardSentinel.Planning;
using BackyardSentinel.Weather;

namespace BackyardSentinel.Delivery;

/// <summary>One invented alert of every kind, on which a file of words is tried before it is used.</summary>
public static class ExampleAlerts
{
    /// <summary>The alerts, with the ids of the invented garden or others.</summary>
    public static IReadOnlyList<Alert> OfEveryKind(
        string site = "south-wall",
        string planting = "white-peach",
        string series = "air-temperature",
        string product = "copper")
    {
        var at = new DateTimeOffset(2027, 3, 4, 9, 10, 0, TimeSpan.Zero);
        var spell = at.AddHours(-25);
        Occasion[] occasions =
        [
            new LevelRisen(site, planting, at, Level.Likely, Level.Possible, at, spell)
            {
                Rule = RuleName.WetHours.Word(),
                WetHours = 24.8,
                RainMm = 13.6,
                MeanTempC = 9.3,
                Cover = Cover.Recheck,
                LookFrom = new DateOnly(2027, 3, 13),
                Uncertain = true,
                Opinions = new Dictionary<string, Level>
                {
                    [RuleName.RainDay.Word()] = Level.Clear,
                    [RuleName.TwoDay.Word()] = Level.Likely,
                    [RuleName.WetHours.Word()] = Level.Likely,
                },
            },
            new WindowAhead(site, planting, at, Level.Likely, at.AddHours(22), 19, 8.5, 8.1, at.AddHours(-2))
            {
                Rule = RuleName.WetHours.Word(),
                Cover = Cover.Spent,
            },
            new SprayDeadlineNear(site, planting, at, new DateOnly(2027, 3, 18), new DateOnly(2027, 3, 11), new DateOnly(2027, 3, 25), 7),
            new LeafFallSprayDue(site, planting, at, 2027, new DateOnly(2027, 3, 11), 7, new DateOnly(2027, 2, 10), Guessed: true),
            new SprayLastChance(site, planting, at, new DateOnly(2027, 3, 8), new DateOnly(2027, 3, 2), new DateOnly(2027, 3, 16)),
            new ShelterDue(site, planting, at, 2027, new DateOnly(2027, 3, 11), 7, Guessed: false),
            new SpraySlotFound(site, planting, at, product, at.AddHours(24), at.AddHours(28))
            {
                Serves = DueTask.LateWinter.Word(),
                Deadline = new DateOnly(2027, 3, 11),
            },
            new CoverToRecheck(site, planting, at, product, 26.4, new DateOnly(2027, 2, 20)),
            new CoverSpent(site, planting, at, product, 51.2, new DateOnly(2027, 2, 20)),
            new ScoutingDue(site, planting, at, at.AddDays(-9), new DateOnly(2027, 3, 15), new DateOnly(2027, 3, 22)),
            new LookAtBuds(site, planting, at, 1, Expected: false, new DateOnly(2027, 3, 4), ATableWouldHelp: true),
            new NeedsNotMet(site, planting, at, 57.2, 62.5),
            new PickingDue(site, planting, at, new DateOnly(2027, 3, 2)),
            new SeasonClosed(site, planting, at, WarmDays: true),
            new SensorSilent(site, at, series, Quantity.Temperature, at.AddHours(-3)),
            new SensorBack(site, at, series, Quantity.Temperature, at.AddHours(-5)),
            new SensorsSilent(site, at, 20, at.AddHours(-3)),
            new SensorsBack(site, at, at.AddHours(-5), 18, 2),
            new SensorStuck(site, at, series, Quantity.Temperature, 7.3, at.AddHours(-12)),
            new ReadingsDoubtful(site, at, new SeriesDoubt(Quantity.Temperature, 0, SeriesFault.LooksFahrenheit, at, 41.2, 75.6)),
            new ClockWrong(at, TimeSpan.FromDays(-21)),
            new DiskLow(at, 90),
            new StoreDamaged(at, 21_480, 36),
            new AlertPathDead(at, at.AddHours(-30)),
        ];
        return [.. occasions.Select(occasion => Alert.Of(occasion, at)), Alert.Of(occasions, at)];
    }
}
