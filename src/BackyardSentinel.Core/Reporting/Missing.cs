namespace BackyardSentinel.Reporting;

/// <summary>What is not known of a time, and why.</summary>
[Flags]
public enum Missing
{
    /// <summary>All is known that the judgement asks for.</summary>
    None = 0,

    /// <summary>No temperature came.</summary>
    Temperature = 1,

    /// <summary>Nothing told whether leaves were wet.</summary>
    Wetness = 2,

    /// <summary>A series that cannot be right was left out.</summary>
    Doubted = 4,

    /// <summary>What a series said last was refused.</summary>
    Refused = 8,

    /// <summary>The sensor under the rain shelter said nothing.</summary>
    UnderShelter = 16,

    /// <summary>A rain gauge that used to speak at even intervals said nothing.</summary>
    Rain = 32,
}
