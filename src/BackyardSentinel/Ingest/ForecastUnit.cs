namespace BackyardSentinel.Ingest;

/// <summary>
/// Reads the names that sources give their units. Spellings are those of SenML (RFC 8428, RFC 8798), UCUM and the WMO code
/// table of units, from memory, and of plain use; the prefix of a code or an address is ignored.
/// </summary>
internal static class ForecastUnit
{
    /// <summary>The unit of a name, with the factor that goes before it.</summary>
    /// <param name="quantity">What is measured: <c>m</c> is a unit of rain, not of temperature.</param>
    /// <param name="name">The name as the payload has it.</param>
    /// <returns><c>null</c> for a name that is none of this quantity's.</returns>
    public static (Unit Unit, double Factor)? Of(ForecastQuantity quantity, string name)
    {
        name = name.Trim();
        if (name.Contains("://", StringComparison.Ordinal)) name = name[(name.LastIndexOfAny(['/', '#']) + 1)..];
        name = name[(name.LastIndexOf(':') + 1)..];
        return quantity switch
        {
            ForecastQuantity.Temperature => name switch
            {
                "Cel" or "°C" or "C" or "degC" or "celsius" or "Celsius" => (Unit.AsIs, 1),
                "[degF]" or "°F" or "F" or "degF" or "fahrenheit" or "Fahrenheit" => (Unit.Fahrenheit, 1),
                "K" or "kelvin" or "Kelvin" => (Unit.Kelvin, 1),
                _ => null,
            },
            ForecastQuantity.Rain => name switch
            {
                "mm" or "kg m-2" or "kg_m-2" or "kg/m2" or "kg/m^2" or "l/m2" or "l/m²" or "L/m²" => (Unit.AsIs, 1),
                "cm" => (Unit.AsIs, 10),
                "m" => (Unit.AsIs, 1000),
                "[in_i]" or "in" or "inch" or "inches" => (Unit.Inch, 1),
                _ => null,
            },
            ForecastQuantity.WindSpeed => name switch
            {
                "m/s" or "m s-1" or "m_s-1" or "ms-1" => (Unit.AsIs, 1),
                "km/h" or "kmh" or "km h-1" or "km_h-1" => (Unit.KilometrePerHour, 1),
                "[mi_i]/h" or "mph" or "mi/h" or "mp/h" => (Unit.MilePerHour, 1),
                "[kn_i]" or "kn" or "kt" or "kts" or "knot" or "knots" => (Unit.Knot, 1),
                _ => null,
            },
            _ => name switch
            {
                "%" or "%RH" or "percent" => (Unit.AsIs, 1),
                "1" or "/" or "fraction" => (Unit.Fraction, 1),
                _ => null,
            },
        };
    }
}
