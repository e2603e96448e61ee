using BackyardSentinel.Garden;

namespace BackyardSentinel.Infection;

/// <summary>
/// Whether a wet spell can infect young fruit. It asks for more rain and a longer wet period than shoots do, and comes
/// after petal fall. Source of the limits: Rossi, Bolognesi and Giosuè 2007, Phytopathology 97:1625–1633 (abstract).
/// The spell's dry gaps of at most four hours are this source's too.
/// </summary>
public static class FruitInfection
{
    /// <summary>Least rain of the spell, mm.</summary>
    public const double MinRainMm = 12;

    /// <summary>Least wet time of the spell, h.</summary>
    public const double MinWetHours = 24;

    /// <summary>None was seen from this mean temperature on, °C.</summary>
    public const double NoneFromC = 17;

    /// <summary>The spell can infect fruit.</summary>
    /// <param name="spell">The wet spell.</param>
    /// <param name="petalsFallen">The planting is past petal fall (BBCH 69).</param>
    public static bool IsPossible(in WetSpell spell, bool petalsFallen) =>
        petalsFallen
        && (spell.NoRainGauge || LimitRounding.Rounded(spell.RainMm) >= MinRainMm)
        && LimitRounding.Rounded(spell.WetHours) >= MinWetHours
        && spell.MeanTempC is { } mean && LimitRounding.Rounded(mean) < NoneFromC;
}
