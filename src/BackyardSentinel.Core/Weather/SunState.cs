namespace BackyardSentinel.Weather;

/// <summary>Whether the sun rises and sets on a day.</summary>
public enum SunState
{
    /// <summary>It rises and sets.</summary>
    Normal,

    /// <summary>
    /// Midnight sun: it does not go down before or after noon. On the first and last such day one of the two moments exists.
    /// </summary>
    PolarDay,

    /// <summary>It stays below the horizon even at noon.</summary>
    PolarNight,
}
