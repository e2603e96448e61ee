namespace BackyardSentinel.Garden;

/// <summary>What a reading measures. Each quantity has exactly one unit inside the program.</summary>
public enum Quantity
{
    /// <summary>Air temperature, °C; a level: it holds until the next reading.</summary>
    Temperature,

    /// <summary>Relative humidity over liquid water, %; a level.</summary>
    Humidity,

    /// <summary>Leaf wetness in the sensor's own scale (counts, %, mV, minutes); a level.</summary>
    LeafWetness,

    /// <summary>Rain fallen since the reading before, mm; an amount.</summary>
    Rain,

    /// <summary>Wind speed, m/s; a level.</summary>
    WindSpeed,

    /// <summary>
    /// Leaf wetness under a rain shelter, in the sensor's own scale; a level. A quantity of its own, since what it says
    /// holds under the roof only and the other says nothing of it.
    /// </summary>
    LeafWetnessUnderShelter,
}
