namespace BackyardSentinel.Units;

/// <summary>What a unit measures, with the one unit in which it is reckoned.</summary>
public enum Dimension
{
    /// <summary>A temperature, °C.</summary>
    Temperature,

    /// <summary>A share, %.</summary>
    Share,

    /// <summary>A depth of rain or soil, mm.</summary>
    Depth,

    /// <summary>A height, m.</summary>
    Height,

    /// <summary>A speed, m/s.</summary>
    Speed,

    /// <summary>An area, m².</summary>
    Area,

    /// <summary>A volume, L.</summary>
    Volume,

    /// <summary>A mass, g.</summary>
    Mass,

    /// <summary>A sensor's own scale.</summary>
    Raw,
}
