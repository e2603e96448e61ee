namespace BackyardSentinel.Configuration;

/// <summary>The units in which spray amounts are told; the program reckons in metric ones.</summary>
public enum SprayUnits
{
    /// <summary>Litres, millilitres, grams, degrees Celsius.</summary>
    Metric,

    /// <summary>US gallons, fluid ounces, ounces, tablespoons, degrees Fahrenheit.</summary>
    Us,
}
