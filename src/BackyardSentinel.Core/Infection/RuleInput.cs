using BackyardSentinel.Garden;
using BackyardSentinel.Weather;

namespace BackyardSentinel.Infection;

/// <summary>What a rule sees of one interval.</summary>
/// <param name="Interval">The weather.</param>
/// <param name="Wetness">Whether it was wet.</param>
/// <param name="Spell">The spell that runs after it, if any.</param>
/// <param name="EndedSpell">The spell that it ended, if any.</param>
/// <param name="Susceptibility">Factor of the planting's tissue, 0–1.</param>
/// <param name="Stage">BBCH code of the planting, if one is known.</param>
/// <param name="Cover">What is left of a protectant; <c>null</c>: nobody keeps a journal.</param>
public readonly record struct RuleInput(
    WeatherInterval Interval,
    Wetness Wetness,
    WetSpell? Spell,
    WetSpell? EndedSpell,
    double Susceptibility,
    int? Stage = null,
    Cover? Cover = null);
