namespace BackyardSentinel.Spraying;

/// <summary>The units in which a mix is told to people.</summary>
public enum UnitSystem
{
    /// <summary>L, mL, g, °C.</summary>
    Metric,

    /// <summary>US gallons, fluid ounces, tablespoons, ounces, °F.</summary>
    Us,
}
