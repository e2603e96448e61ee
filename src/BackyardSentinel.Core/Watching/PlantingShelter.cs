using BackyardSentinel.Garden;
using BackyardSentinel.Infection;
using BackyardSentinel.Phenology;
using BackyardSentinel.Weather;

namespace BackyardSentinel.Watching;

/// <summary>
/// A planting's rain shelter, on and off by the journal. While it is on, rain neither wets the planting nor counts, and
/// humidity does not wet its leaves: leaves under a roof can dew, but dew alone is too short to infect. A leaf-wetness sensor
/// that hangs under it alone says otherwise, as of rain that is blown in; no gauge measures that, so wetness counts without
/// a sum of rain. What the open sky would have given is judged beside it, so that a report can show what the roof was worth.
/// Common practice.
/// </summary>
public sealed class PlantingShelter
{
    private readonly ShelterEntry[] _entries;
    private readonly SeasonCalendar _calendar;
    private readonly bool _hasSensor, _hasGauge;
    private readonly WetSpellTracker _own;
    private readonly InfectionRule[] _openSky;
    private DateTimeOffset? _wetEvidence, _temperatureEvidence;

    internal PlantingShelter(Site site, Planting planting, IEnumerable<ShelterEntry> entries)
    {
        _entries = [.. entries.OrderBy(entry => entry.On).ThenBy(entry => entry.Number)];
        _calendar = new SeasonCalendar(site.LatitudeDeg);
        (_hasSensor, _hasGauge) = (site.UnderShelter is not null, site.HasRainGauge);
        _own = new WetSpellTracker(site.Spell, !site.HasRainGauge);
        _openSky = _entries.Length == 0 ? [] : InfectionRules.All(site, planting.Id);
    }

    /// <summary>It is on now.</summary>
    public bool IsOn { get; private set; }

    /// <summary>It is on, and a leaf-wetness sensor hangs under it: only then can it be wet there, or not known.</summary>
    public bool IsOnWithSensor => IsOn && _hasSensor;

    /// <summary>The local day on which it was put on, this season; <c>null</c>: it is off.</summary>
    /// <param name="day">The local day now.</param>
    public DateOnly? OnSince(DateOnly day) =>
        // One that nobody noted this season may have gone long ago: without a note the tree stands in the open.
        LastBy(day) is { IsOn: true } on && _calendar.SeasonOf(on.On) == _calendar.SeasonOf(day) ? on.On : null;

    /// <summary>Until when the wetness under it and the temperature were known; <c>null</c>: one of them never was.</summary>
    internal DateTimeOffset? EvidenceUntil =>
        _temperatureEvidence < _wetEvidence ? _temperatureEvidence
        : _temperatureEvidence is null ? null
        : _wetEvidence;

    /// <summary>It is or was ever used; without it the planting stands in the open.</summary>
    internal bool IsUsed => _entries.Length > 0;

    /// <summary>The rules as the open sky would have them; empty where no shelter is used.</summary>
    internal IReadOnlyList<InfectionRule> OpenSky => _openSky;

    /// <summary>The planting's own spells, where one is used.</summary>
    internal WetSpellTracker Spells => _own;

    /// <summary>
    /// Whether it is on over the whole of a local day. Nobody knows at what hour it was put on or taken off, and rain may have wetted
    /// the tree before or after: on those days it counts as off.
    /// </summary>
    /// <param name="day">The local day.</param>
    public bool IsOnAt(DateOnly day) => OnSince(day) is not null;

    /// <summary>Whether it was wet on the planting in the last interval, where a shelter is used.</summary>
    internal Wetness Wetness { get; private set; }

    private ShelterEntry? LastBy(DateOnly day) => _entries.LastOrDefault(entry => entry.IsOn ? entry.On < day : entry.On <= day);

    /// <summary>A local day begins.</summary>
    internal void DayBegins(DateOnly today) => IsOn = IsOnAt(today);

    /// <summary>What an interval brings to a planting that uses one: the weather of the site, or that under the roof.</summary>
    internal RuleInput Under(in RuleInput sky)
    {
        if (_hasSensor && sky.Interval.ShelterWetCoverage >= WetnessJudge.MinLeafWetCoverage)
            _wetEvidence = sky.Interval.End;
        if (sky.Interval.TemperatureC is not null)
            _temperatureEvidence = sky.Interval.End;
        var (interval, wetness) = (sky.Interval, sky.Wetness);
        if (IsOn)
        {
            interval = interval with
            {
                RainMm = 0,
                HumidityPct = null,
                HumidityCoverage = 0,
                LeafWetShare = _hasSensor ? interval.ShelterWetShare : null,
                LeafWetCoverage = _hasSensor ? interval.ShelterWetCoverage : 0,
            };
            wetness = Roofed(interval, wetness);
        }

        Wetness = wetness;
        _own.NoRainGauge = !_hasGauge || IsOnWithSensor;
        _own.Observe(interval, wetness, out var ended);
        return new RuleInput(interval, wetness, _own.Running, ended, sky.Susceptibility, sky.Stage);
    }

    private Wetness Roofed(in WeatherInterval interval, Wetness sky)
    {
        if (sky.State == WetnessState.Frozen)
            return sky;
        if (!_hasSensor)
            return new Wetness(WetnessState.Dry, 0);
        if (interval.LeafWetShare is not { } share || interval.LeafWetCoverage < WetnessJudge.MinLeafWetCoverage)
            return new Wetness(WetnessState.Unknown, 0);
        return share > 0 ? new Wetness(WetnessState.Wet, share) : new Wetness(WetnessState.Dry, 0);
    }

    /// <summary>The log is over: ends the planting's own spell.</summary>
    internal WetSpell? Finish() => _own.End();
}
