namespace BackyardSentinel.Configuration;

/// <summary>What an amount measures, and the unit it is reckoned in.</summary>
public enum AmountKind
{
    /// <summary>Litres.</summary>
    Volume,

    /// <summary>Grams.</summary>
    Mass,

    /// <summary>Square metres.</summary>
    Area,

    /// <summary>Metres per second.</summary>
    Speed,

    /// <summary>Degrees Celsius.</summary>
    Temperature,
}
