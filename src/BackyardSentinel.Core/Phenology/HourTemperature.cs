namespace BackyardSentinel.Phenology;

/// <summary>The mean temperature of one UTC clock hour, half-open [Start, Start + 1 h).</summary>
/// <param name="Start">Start of the hour, UTC.</param>
/// <param name="TempC">Mean air temperature, °C.</param>
/// <param name="Source">Whether it was measured or how it was filled in.</param>
public readonly record struct HourTemperature(DateTimeOffset Start, double TempC, HourSource Source)
{
    /// <summary>End of the hour (exclusive), UTC.</summary>
    public DateTimeOffset End => Start.AddHours(1);
}
