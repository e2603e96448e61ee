using BackyardSentinel.Infection;
using BackyardSentinel.Weather;

namespace BackyardSentinel;

/// <summary>
/// A planting's rain shelter, on and off by the journal. While it is on, rain neither wets the planting nor counts, and
/// humidity does not wet its leaves: leaves under a roof can dew, but dew alone is too short to infect. What the open sky
/// would have given is judged beside it, so that a report can show what the roof was worth. Common practice.
/// </summary>
public sealed class PlantingShelter
{
    private readonly ShelterEntry[] entries;
    private readonly WetSpellTracker own;
    private readonly InfectionRule[] openSky;

    internal PlantingShelter(Site site, Planting planting, IEnumerable<ShelterEntry> entries)
    {
        this.entries = [.. entries.OrderBy(entry => entry.On).ThenBy(entry => entry.Number)];
        own = new WetSpellTracker(site.SpellStartsOnAnyWetness, !site.HasRainGauge);
        openSky = this.entries.Length == 0 ? [] : InfectionRule.All(site, planting.Id);
    }

    /// <summary>It is on now.</summary>
    public bool IsOn { get; private set; }

    /// <summary>It is or was ever used; without it the planting stands in the open.</summary>
    internal bool IsUsed => entries.Length > 0;

    /// <summary>The rules as the open sky would have them; empty where no shelter is used.</summary>
    internal IReadOnlyList<InfectionRule> OpenSky => openSky;

    /// <summary>Whether it is on over a local day; the day on which it is put on or taken off counts as the entry says.</summary>
    /// <param name="day">The local day.</param>
    public bool IsOnAt(DateOnly day) => entries.LastOrDefault(entry => entry.On <= day) is { IsOn: true };

    /// <summary>A local day begins.</summary>
    internal void DayBegins(DateOnly today) => IsOn = IsOnAt(today);

    /// <summary>What an interval brings to the planting: the weather of the site, or that under the roof.</summary>
    internal RuleInput Under(in RuleInput sky)
    {
        if (!IsUsed)
            return sky;
        var interval = IsOn ? sky.Interval with { RainMm = 0, HumidityPct = null, HumidityCoverage = 0, LeafWetShare = null, LeafWetCoverage = 0 } : sky.Interval;
        var wetness = IsOn && sky.Wetness.State != WetnessState.Frozen ? new Wetness(WetnessState.Dry, 0) : sky.Wetness;
        own.Observe(interval, wetness, out var ended);
        return sky with { Interval = interval, Wetness = wetness, Spell = own.Running, EndedSpell = ended };
    }

    /// <summary>The log is over: ends the planting's own spell.</summary>
    internal WetSpell? Finish() => own.End();
}
