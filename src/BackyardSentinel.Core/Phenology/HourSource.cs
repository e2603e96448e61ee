namespace BackyardSentinel.Phenology;

/// <summary>Where the temperature of an hour comes from.</summary>
public enum HourSource
{
    /// <summary>At least half of the hour was measured.</summary>
    Measured,

    /// <summary>A gap of up to 3 hours, filled along a straight line.</summary>
    Interpolated,

    /// <summary>A gap of up to 24 hours, filled with a day's curve through both ends.</summary>
    Curve,

    /// <summary>A longer gap, filled with day's curves: little more than a guess.</summary>
    Flagged,
}
