using BackyardSentinel.Garden;
using BackyardSentinel.Units;
using static BackyardSentinel.Configuration.Keys.Forms;

namespace BackyardSentinel.Configuration.Keys;

/// <summary>The keys of a variant of an infection rule.</summary>
public static class RuleKeys
{
    private static readonly string[] WetHours = [RuleName.WetHours.Word()];
    private static readonly string[] RainDay = [RuleName.RainDay.Word()];
    private static readonly string[] TwoDay = [RuleName.TwoDay.Word()];

    /// <summary>Keys of one entry of <c>rules</c>.</summary>
    public static GardenSection Rule { get; } = new("rule", $"a rule of your own", [
        new(
            "name",
            Identifier.And($"; none of the rules' own, not ending in -sheltered"),
            "Its name in everything you read, and for level_rule.")
        {
            Required = true,
        },
        new("variant_of", OneOf(RuleNames.Words), "The rule that judges so, but by the limits below; docs/model.md describes each.")
        {
            Required = true,
        },
        new(
            "from",
            Text(10, $"a day such as 2027-03-14 (3/14/2027 too with units: us)", "^[0-9/-]{8,10}$"),
            "The local day from which these limits hold; until then it judges as the rule that it is a variant of. Left out: always."),
        new(
            "rain",
            Amount(
                Dimension.Depth,
                0,
                RainDayLimits.RainMm.Most,
                mayBeBare: true,
                $"an amount of rain such as 2 mm; without a unit in mm (inches with units: us)"),
            "Of wet-hours the least rain of a spell, published 3 mm; of rain-day what the day's rain must exceed, published 10 mm."),
        new(
            "wet_hours",
            Number(WetHoursLimits.WetHours.Least, TwoDayLimits.Hours.Most),
            "Of wet-hours the least wet time of a spell, published 12.5; "
                + "of two-day the hours from which infection is likely, by custom 24."),
        new(
            "temperature",
            Degrees,
            "Of wet-hours what the mean must stay below, published 16 °C; of rain-day what the day's highest must exceed, published 5 °C; "
                + "of two-day the highest that counts, by custom 16 °C."),
        new(
            "full_wet_hours",
            Number(WetHoursLimits.WetHours.Least, WetHoursLimits.WetHours.Most).And($", above wet_hours"),
            "Of wet-hours the wet time from which more adds next to nothing to the level, published 48."),
        new(
            "full_temperature",
            Degrees.And($", below temperature"),
            "Of wet-hours the mean from which cooler adds next to nothing to the level, published 8 °C."),
        new(
            "severe_hours",
            Number(TwoDayLimits.Hours.Least, TwoDayLimits.Hours.Most).And($", not below wet_hours"),
            "Of two-day the hours from which it is severe, by custom 48."),
        new("lowest_temperature", Degrees.And($", not above temperature"), "Of two-day the lowest that counts, by custom 8 °C."),
        new(
            "humidity",
            Number(TwoDayLimits.HumidityPct.Least, TwoDayLimits.HumidityPct.Most),
            "Of two-day the humidity in % from which an hour counts even if it is not wet, by custom 90."),
        new("dry_gap", Duration("0m", "24h"), "Of two-day the longest break that a stretch survives, by custom 1h."),
    ])
    {
        Rules =
        [
            new OnlyWith("variant_of", [.. WetHours, .. RainDay], "rain"),
            new OnlyWith("variant_of", [.. WetHours, .. TwoDay], "wet_hours"),
            new OnlyWith("variant_of", WetHours, "full_wet_hours", "full_temperature"),
            new OnlyWith("variant_of", TwoDay, "severe_hours", "lowest_temperature", "humidity", "dry_gap"),
        ],
    };

    private static KeyForm Degrees => Amount(
        Dimension.Temperature,
        RainDayLimits.TempC.Least,
        TwoDayLimits.TempC.Most,
        mayBeBare: true,
        $"a temperature in °C (°F with units: us)");

    /// <summary>The limits that a variant of a rule does not have.</summary>
    /// <param name="rule">The rule.</param>
    public static IEnumerable<string> Foreign(RuleName rule) => Rule.Rules
        .OfType<OnlyWith>()
        .Where(only => !only.Words.Contains(rule.Word()))
        .SelectMany(only => only.Keys);
}
