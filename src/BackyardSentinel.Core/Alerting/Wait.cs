namespace BackyardSentinel.Alerting;

/// <summary>What an occasion waits for before it goes out.</summary>
public enum Wait
{
    /// <summary>For nothing: it goes out with the minute.</summary>
    None,

    /// <summary>Whether it rises further, so that one message tells the height.</summary>
    FurtherRise,

    /// <summary>Whether other sensors of the site follow, so that one message tells of all.</summary>
    OtherSensors,

    /// <summary>For the morning of its day: a reminder.</summary>
    Morning,

    /// <summary>For the day: nobody sprays at night.</summary>
    Daytime,
}
