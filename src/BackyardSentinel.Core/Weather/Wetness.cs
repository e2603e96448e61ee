namespace BackyardSentinel.Weather;

/// <summary>Whether leaves were wet in an interval.</summary>
public enum WetnessState
{
    /// <summary>No evidence either way.</summary>
    Unknown,

    /// <summary>Not wet.</summary>
    Dry,

    /// <summary>Below 0 °C: snow and frozen rain neither wet nor count.</summary>
    Frozen,

    /// <summary>Wet for some or all of it.</summary>
    Wet,
}

/// <summary>The words for <see cref="WetnessState"/>.</summary>
public static class WetnessStateWords
{
    /// <summary>The word in exports, on topics and in JSON.</summary>
    public static string Word(this WetnessState state) => state switch
    {
        WetnessState.Unknown => "unknown",
        WetnessState.Dry => "dry",
        WetnessState.Frozen => "frozen",
        WetnessState.Wet => "wet",
    };
}

/// <summary>The judgement on one interval.</summary>
/// <param name="State">Wet, dry, frozen or unknown.</param>
/// <param name="Fraction">Share of the interval that counts as wet, 0–1; 0 unless wet.</param>
public readonly record struct Wetness(WetnessState State, double Fraction);
