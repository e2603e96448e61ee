using System.Globalization;
using BackyardSentinel.Configuration.Reading;
using BackyardSentinel.Configuration.Yaml;
using BackyardSentinel.Garden;
using BackyardSentinel.Units;
using BackyardSentinel.Wording;

namespace BackyardSentinel.Configuration;

/// <summary>Reads a site's climate table, and knows one that is in the units of the other system.</summary>
internal static class ClimateReader
{
    // No place on Earth has a month whose days reach 50 °C on average, and none with fruit trees has a warmest month whose
    // days stay below 50 °F (10 °C, about the limit of trees). So the warmest month tells which of the two a table is in.
    private const double Between = 50;
    private const int LeastWarmMonths = 3;

    /// <summary>The usual year by the means of its months; <c>null</c> where the keys are left out or wrong.</summary>
    public static DailyClimate? Read(SectionReader keys, UnitSystem units, ProblemList problems)
    {
        PlaceCheck.BothOrNone(keys, "climate_min", "climate_max", $"the course of a day needs both", problems);
        if (IsOfTheOther(keys, units))
        {
            (string Meant, string Read, Sentence Cure) told =
                units == UnitSystem.Us
                    ? ("°C", "°F", (Sentence)$"temperatures in °F, or each with its unit, such as 31 °C")
                    : ("°F", "°C", $"units: us at the top of the file, or temperatures in °C");
            problems.Error(
                keys.Place("climate_max"),
                $"the climate table is in {new Name(told.Meant)}, as its warmest month shows, and would be read as {new Name(told.Read)}",
                told.Cure);
            return null;
        }

        var bare = units.UnitOf(Dimension.Temperature);
        var least = keys.Amounts("climate_min", 12, Dimension.Temperature, bare);
        var most = keys.Amounts("climate_max", 12, Dimension.Temperature, bare);
        return least is not null && most is not null && AreInOrder(keys, least, most) ? DailyClimate.FromMonths(least, most) : null;
    }

    private static bool AreInOrder(SectionReader keys, IReadOnlyList<double> least, IReadOnlyList<double> most)
    {
        var good = true;
        for (var i = 0; i < least.Count; i++)
        {
            if (least[i] < most[i])
                continue;
            var month = LocalTime.Of(new DateOnly(2027, i + 1, 1), TimeForm.Month);
            var place = ((YamlSequence)keys.Place("climate_max")).Items[i];
            keys.Problems.Error(
                place,
                $"the maximum of {month} is not above its minimum in 'climate_min'",
                $"a mean daily maximum above the mean daily minimum of the month");
            good = false;
        }

        return good;
    }

    private static bool IsOfTheOther(SectionReader keys, UnitSystem units)
    {
        if (keys.Node("climate_max") is not YamlSequence { Items.Count: 12 } months)
            return false;
        List<double> bare = [];
        foreach (var month in months.Items)
        {
            if (
                month is not YamlScalar scalar
                || !double.TryParse(scalar.Value, NumberStyles.Float, CultureInfo.InvariantCulture, out var number))
                return false;
            bare.Add(number);
        }

        // One month beyond it is a slip of the pen, and is told as one.
        return units == UnitSystem.Us ? bare.Max() < Between : bare.Count(month => month > Between) >= LeastWarmMonths;
    }
}
