using BackyardSentinel.Alerting;
using BackyardSentinel.Infection;

namespace BackyardSentinel.Delivery;

/// <summary>Risen levels that go through every branch of their words, with figures that take the most room.</summary>
internal static class RisenLevels
{
    public static IReadOnlyList<Cover?> Covers { get; } = [null, .. Enum.GetValues<Cover>()];

    public static IEnumerable<LevelRisen> OfEveryBranch(string name, DateTimeOffset at) =>
        from cover in Covers
        from level in new[] { Level.Building, Level.Possible, Level.Likely, Level.Severe }
        from known in new[] { true, false }
        from sure in new[] { true, false }
        from fell in new DateTimeOffset?[] { null, at.AddHours(3) }
        select new LevelRisen(name, name, at, level, Level.Clear, at, at)
        {
            Rule = (known ? RuleName.WetHours : RuleName.RainDay).Word(),
            Cover = cover,
            StageSure = sure,
            FellAt = fell,
            LookFrom = new DateOnly(2027, 3, 13),
            WetHours = known ? 123.4 : null,
            RainMm = known ? 123.4 : null,
            MeanTempC = known ? -12.3 : null,
            FractionReached = known ? 0.99 : null,
            Uncertain = known,
            Opinions = new Dictionary<string, Level>
            {
                [RuleName.RainDay.Word()] = Level.Unknown,
                [RuleName.TwoDay.Word()] = Level.Unknown,
                [RuleName.WetHours.Word()] = Level.Building,
            },
        };
}
