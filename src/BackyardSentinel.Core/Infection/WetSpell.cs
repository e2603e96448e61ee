namespace BackyardSentinel.Infection;

/// <summary>Wet time started by rain, with dry gaps up to a limit. Sums are over its wet intervals.</summary>
/// <param name="Start">Start of its first wet interval, UTC.</param>
/// <param name="End">End of its last wet interval so far, UTC.</param>
/// <param name="WetHours">Sum of wet fraction × interval length, hours.</param>
/// <param name="RainMm">Rain of its wet intervals, mm.</param>
/// <param name="MeanTempC">Mean temperature over wet time that has one, °C.</param>
/// <param name="MinTempC">Lowest interval mean over wet time, °C.</param>
/// <param name="MaxTempC">Highest interval mean over wet time, °C.</param>
/// <param name="Uncertain">Unknown or temperature-less time exceeds 10 % of it.</param>
/// <param name="NoRainGauge">No rain gauge speaks for what wetted it, in all or in part, as in a site without one and under a rain
/// shelter: the amount of rain is not asked for.</param>
public readonly record struct WetSpell(
    DateTimeOffset Start,
    DateTimeOffset End,
    double WetHours,
    double RainMm,
    double? MeanTempC,
    double? MinTempC,
    double? MaxTempC,
    bool Uncertain,
    bool NoRainGauge);
