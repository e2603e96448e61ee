using System.Globalization;
using BackyardSentinel.Configuration.Reading;
using BackyardSentinel.Configuration.Yaml;
using BackyardSentinel.Units;

namespace BackyardSentinel.Configuration;

/// <summary>Reads a site's climate table, and knows one that is in the units of the other system.</summary>
internal static class ClimateReader
{
    // No place on Earth has a month whose days reach 50 °C on average, and none with fruit trees has a warmest month whose
    // days stay below 50 °F (10 °C, about the limit of trees). So the warmest month tells which of the two a table is in.
    private const double Between = 50;
    private const int LeastWarmMonths = 3;

    /// <summary>The mean daily minima and maxima of the months, °C; <c>null</c> where the key is left out or wrong.</summary>
    public static (IReadOnlyList<double>? MinC, IReadOnlyList<double>? MaxC) Read(
        SectionReader keys,
        UnitSystem units,
        ProblemList problems)
    {
        if (IsOfTheOther(keys, units))
        {
            var (meant, read, cure) =
                units == UnitSystem.Us
                    ? ("°C", "°F", "temperatures in °F, or each with its unit, such as 31 °C")
                    : ("°F", "°C", "units: us at the top of the file, or temperatures in °C");
            problems.Error(
                keys.Place("climate_max"),
                $"the climate table is in {meant}, as its warmest month shows, and would be read as {read}",
                cure);
            return (null, null);
        }

        var bare = units.UnitOf(Dimension.Temperature);
        return (keys.Amounts("climate_min", 12, Dimension.Temperature, bare), keys.Amounts("climate_max", 12, Dimension.Temperature, bare));
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
