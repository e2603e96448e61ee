namespace BackyardSentinel.Garden;

/// <summary>The one name of each quantity.</summary>
public static class QuantityWords
{
    /// <summary>As files, options, topics and JSON spell it: <c>leaf-wetness</c>.</summary>
    public static string Word(this Quantity quantity) => quantity switch
    {
        Quantity.Temperature => "temperature",
        Quantity.Humidity => "humidity",
        Quantity.LeafWetness => "leaf-wetness",
        Quantity.Rain => "rain",
        Quantity.WindSpeed => "wind-speed",
        Quantity.LeafWetnessUnderShelter => "leaf-wetness-under-shelter",
    };

    /// <summary>As a sentence says it: <c>leaf wetness</c>.</summary>
    public static string Name(this Quantity quantity) => quantity.Word().Replace('-', ' ');
}
