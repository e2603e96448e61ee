using BackyardSentinel.Garden;
using BackyardSentinel.Infection;

namespace BackyardSentinel.Contract;

/// <summary>A wet spell.</summary>
/// <param name="Start">Start of the first wet interval, UTC.</param>
/// <param name="End">End of the last wet interval, UTC.</param>
/// <param name="WetHours">Wet time, h.</param>
/// <param name="RainMm">Rain, mm.</param>
/// <param name="MeanTempC">Mean over wet time, °C.</param>
/// <param name="MinTempC">Lowest interval mean, °C.</param>
/// <param name="MaxTempC">Highest interval mean, °C.</param>
/// <param name="Uncertain">More than a tenth of it is unknown.</param>
/// <param name="NoRainGauge">Judged without a rain gauge.</param>
public sealed record WetSpellFigures(
    DateTimeOffset Start,
    DateTimeOffset End,
    [Bounds(0)] double WetHours,
    [Bounds(0)] double RainMm,
    [Bounds(Quantities.MinTemperatureC, Quantities.MaxTemperatureC)] double? MeanTempC,
    [Bounds(Quantities.MinTemperatureC, Quantities.MaxTemperatureC)] double? MinTempC,
    [Bounds(Quantities.MinTemperatureC, Quantities.MaxTemperatureC)] double? MaxTempC,
    bool Uncertain,
    bool NoRainGauge)
{
    /// <summary>The figures of a spell.</summary>
    /// <param name="spell">The spell.</param>
    public static WetSpellFigures Of(WetSpell spell) => new(
        spell.Start,
        spell.End,
        spell.WetHours,
        spell.RainMm,
        spell.MeanTempC,
        spell.MinTempC,
        spell.MaxTempC,
        spell.Uncertain,
        spell.NoRainGauge);
}
