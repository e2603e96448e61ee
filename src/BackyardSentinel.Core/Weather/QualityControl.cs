using System.Runtime.CompilerServices;

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

    // In the order of Quantity.
    private static ReadOnlySpan<double> Lowest => [MinTemperatureC, 0, double.MinValue, 0, 0];

    private static ReadOnlySpan<double> Highest => [MaxTemperatureC, MaxHumidityPct, double.MaxValue, MaxRainMm, MaxWindMs];

    /// <summary>Judges one value and gives the value to go on with.</summary>
    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    public static QualityVerdict Judge(Quantity quantity, double value, out double taken)
    {
        taken = value;
        if (!(value >= Lowest[(int)quantity] && value <= Highest[(int)quantity]))
            return QualityVerdict.Impossible;
        if (value <= 100 || quantity != Quantity.Humidity)
            return QualityVerdict.Good;
        taken = 100;
        return QualityVerdict.Clamped;
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
