using System.Diagnostics.CodeAnalysis;
using BackyardSentinel.Garden;
using BackyardSentinel.Weather;

namespace BackyardSentinel.Infection;

/// <summary>What a rule sees of one interval.</summary>
public readonly record struct RuleInput
{
    // Large, and asked for several times at each interval: they are looked at where they lie.
    private readonly WeatherInterval _interval;
    private readonly WetSpell? _spell, _endedSpell;

    /// <summary>Makes one.</summary>
    /// <param name="interval">The weather.</param>
    /// <param name="wetness">Whether it was wet.</param>
    /// <param name="spell">The spell that runs after it, if any.</param>
    /// <param name="endedSpell">The spell that it ended, if any.</param>
    /// <param name="susceptibility">Factor of the planting's tissue, 0–1.</param>
    /// <param name="stage">BBCH code of the planting, if one is known.</param>
    public RuleInput(
        in WeatherInterval interval,
        Wetness wetness,
        in WetSpell? spell,
        in WetSpell? endedSpell,
        double susceptibility,
        int? stage = null)
    {
        _interval = interval;
        Wetness = wetness;
        _spell = spell;
        _endedSpell = endedSpell;
        Susceptibility = susceptibility;
        Stage = stage;
    }

    /// <summary>The weather.</summary>
    [UnscopedRef]
    public readonly ref readonly WeatherInterval Interval => ref _interval;

    /// <summary>Whether it was wet.</summary>
    public Wetness Wetness { get; }

    /// <summary>The spell that runs after it, if any.</summary>
    [UnscopedRef]
    public readonly ref readonly WetSpell? Spell => ref _spell;

    /// <summary>The spell that it ended, if any.</summary>
    [UnscopedRef]
    public readonly ref readonly WetSpell? EndedSpell => ref _endedSpell;

    /// <summary>Factor of the planting's tissue, 0–1.</summary>
    public double Susceptibility { get; }

    /// <summary>BBCH code of the planting, if one is known.</summary>
    public int? Stage { get; }

    /// <summary>What is left of a protectant; <c>null</c>: nobody keeps a journal.</summary>
    public Cover? Cover { get; init; }
}
