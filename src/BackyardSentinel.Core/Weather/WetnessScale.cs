namespace BackyardSentinel.Weather;

/// <summary>Temporary.</summary>
public readonly record struct WetnessScale(double On, double Off, bool Inverted)
{
    /// <summary>Temporary.</summary>
    public bool IsWet(double raw, bool wasWet) =>
        Inverted ? raw <= On || (wasWet && raw <= Off) : raw >= On || (wasWet && raw >= Off);
}
