namespace BackyardSentinel.Weather;

/// <summary>Refuses values that cannot be. The ranges are those of weather outdoors, wider than any garden's.</summary>
public static class QualityControl
{
    /// <summary>Lowest and highest air temperature taken, °C.</summary>
    public const double MinTemperatureC = -60, MaxTemperatureC = 60;

    /// <summary>Humidity up to here is sensor drift and counts as 100 %; above it the value is refused.</summary>
    public const double MaxHumidityPct = 105;

    /// <summary>Highest wind speed taken, m/s.</summary>
    public const double MaxWindMs = 100;

    /// <summary>Highest rain taken in one reading, mm.</summary>
    public const double MaxRainMm = 250;

    /// <summary>Judges one value and gives the value to go on with.</summary>
    public static QualityVerdict Judge(Quantity quantity, double value, out double taken)
    {
        taken = value;
        var possible = quantity switch
        {
            Quantity.Temperature => value is >= MinTemperatureC and <= MaxTemperatureC,
            Quantity.Humidity => value is >= 0 and <= MaxHumidityPct,
            Quantity.Rain => value is >= 0 and <= MaxRainMm,
            Quantity.WindSpeed => value is >= 0 and <= MaxWindMs,
            _ => double.IsFinite(value),
        };
        if (!possible)
            return QualityVerdict.Impossible;

        if (quantity == Quantity.Humidity && value > 100)
        {
            taken = 100;
            return QualityVerdict.Clamped;
        }

        return QualityVerdict.Good;
    }

    /// <summary>Says in words which values of a quantity are taken.</summary>
    public static string RangeOf(Quantity quantity) => quantity switch
    {
        Quantity.Temperature => "-60 to 60 °C",
        Quantity.Humidity => "0 to 105 %",
        Quantity.Rain => "0 to 250 mm",
        Quantity.WindSpeed => "0 to 100 m/s",
        _ => "any finite number",
    };
}
