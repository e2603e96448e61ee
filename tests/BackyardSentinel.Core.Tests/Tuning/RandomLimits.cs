using BackyardSentinel.Tuning;

namespace BackyardSentinel.Tests.Tuning;

/// <summary>Sets of limits drawn at random from the whole of what may be set.</summary>
internal static class RandomLimits
{
    public static LimitSet Draw(Random random, RuleName rule) => new(
        new WetSpellLimits(
            random.Next(0, 13) / 2.0,
            random.Next(2) == 0,
            random.Next(160, 200) / 2.0,
            random.Next(2) == 0 ? WetnessEstimator.HumidityThreshold : (WetnessEstimator)random.Next(4)),
        rule switch
        {
            RuleName.WetHours => new WetHoursLimits(
                random.Next(0, 12) / 2.0, random.Next(2, 40) / 2.0, random.Next(8, 20), random.Next(21, 60), random.Next(0, 8)),
            RuleName.RainDay => new RainDayLimits(random.Next(0, 20), random.Next(-2, 12)),
            RuleName.TwoDay => new TwoDayLimits(
                random.Next(-2, 8), random.Next(8, 20), random.Next(70, 100), random.Next(2, 24), random.Next(24, 60),
                random.Next(0, 6) / 2.0),
        });
}
