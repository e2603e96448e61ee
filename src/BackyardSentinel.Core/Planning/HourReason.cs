namespace BackyardSentinel.Planning;

/// <summary>Why an hour is not, or not quite, fit for spraying.</summary>
public enum HourReason
{
    /// <summary>The forecast lacks a value that is needed.</summary>
    Missing,

    /// <summary>Rain in the hour.</summary>
    Rain,

    /// <summary>Rain before the spray has dried long enough.</summary>
    RainSoon,

    /// <summary>Rain not long enough ago.</summary>
    RainBefore,

    /// <summary>Frost, of the air or the wet bulb, in the hour or too soon after.</summary>
    Frost,

    /// <summary>Colder than the product may be used.</summary>
    TooCold,

    /// <summary>Warmer than the product may be used.</summary>
    TooWarm,

    /// <summary>Too windy: drift.</summary>
    WindHigh,

    /// <summary>Too calm: drops hang and wander.</summary>
    WindLow,

    /// <summary>Drops dry too slowly.</summary>
    DeltaTLow,

    /// <summary>Drops dry too fast.</summary>
    DeltaTHigh,

    /// <summary>Hot and dry at once.</summary>
    HotDry,

    /// <summary>An inversion is possible. It is never said to be absent: one thermometer cannot see it.</summary>
    Inversion,

    /// <summary>The sun is down.</summary>
    Dark,
}
