using BackyardSentinel.Garden;
using BackyardSentinel.Units;
using BackyardSentinel.Weather;

namespace BackyardSentinel.Infection;

/// <summary>
/// Rule <c>rain-day</c>: a local calendar day with more than 10 mm of rain and a maximum above 5 °C, unless other
/// limits are set, on susceptible tissue. Source: Giosuè, Spada, Rossi, Carli and Ponti 2000, Eur. J. Plant Pathol.
/// 106:563–571 (abstract); it is known to miss infections on a day of 9.6 mm and on days that stayed at 3.1–3.5 °C.
/// </summary>
/// <param name="planting">The planting's id.</param>
/// <param name="zone">Days are local days of this zone.</param>
/// <param name="hasRainGauge">Rain is measured.</param>
/// <param name="limits">The limits; <c>null</c>: the published ones.</param>
public sealed class RainDayRule(string planting, TimeZoneInfo zone, bool hasRainGauge, RainDayLimits? limits = null)
    : InfectionRule(RuleName.RainDay, planting)
{
    private RainDayLimits _limits = limits ?? new RainDayLimits();
    private DateTimeOffset _midnight = DateTimeOffset.MinValue;
    private double _rainMm, _tempSum, _maxC = double.NegativeInfinity;
    private int _tempCount;
    private long _unclear, _length;
    private bool _fired;
    private long _spell = long.MinValue;
    private double _mostRainMm;
    private bool _enoughInSpell;

    /// <inheritdoc/>
    public override IReadOnlyList<RuleCondition> Explain(WetSpell? spell, UnitSystem units) =>
        !hasRainGauge
            ? [new("rain of the local day", null, "mm", $"more than {units.Rain(_limits.RainAboveMm)}; there is no rain gauge", false)]
            :
            [
                new RuleCondition(
                    "rain of the local day",
                    _rainMm,
                    "mm",
                    $"more than {units.Rain(_limits.RainAboveMm)}",
                    LimitRounding.Rounded(_rainMm) > _limits.RainAboveMm
                ).From(_limits.RainAboveMm),
                new(
                    "highest temperature of the local day",
                    _tempCount > 0 ? _maxC : null,
                    "°C",
                    $"above {units.Temperature(_limits.MaxTempAboveC)}",
                    LimitRounding.Rounded(_maxC) > _limits.MaxTempAboveC),
            ];

    /// <inheritdoc/>
    public override string? Lacks => hasRainGauge ? null : "A rain gauge: without one the rule rain-day cannot judge.";

    /// <inheritdoc/>
    public override IReadOnlyList<string> Change(PlantingRisk risk, Site site) => OpenWindow is not null
        ? ["Midnight closes the window."]
        : Asked($"before midnight, with a maximum above {site.Units.Temperature(_limits.MaxTempAboveC)},", site.Units);

    /// <inheritdoc/>
    public override string? Shortfall(in WetSpell ended, UnitSystem units) =>
        !hasRainGauge ? "without a rain gauge the rule rain-day cannot judge it"
        : _enoughInSpell ? null
        : LimitRounding.Rounded(_mostRainMm) > _limits.RainAboveMm ? "too cold to infect"
        : "too little rain measured on one day to infect";

    private protected override void Take(RuleLimits limits) => _limits = (RainDayLimits)limits;

    private protected override void Judge(in RuleInput input)
    {
        if (!hasRainGauge)
        {
            Level = Level.Unknown;
            return;
        }

        ref readonly var interval = ref input.Interval;
        if (interval.StartTicks >= _midnight.UtcTicks)
            BeginDay(interval.Start);

        Add(interval, input.Wetness);
        var enough = LimitRounding.Rounded(_rainMm) > _limits.RainAboveMm && LimitRounding.Rounded(_maxC) > _limits.MaxTempAboveC;
        NoteSpell(input.Spell, enough);
        if (_fired)
            Refresh();
        else if (input.Susceptibility > 0 && enough)
        {
            _fired = true;
            Open(new InfectionWindow(
                "", "", interval.End, null, Level.Likely, null, null, _rainMm, MeanC, IsUncertain, false));
        }

        if (OpenWindow is not null && interval.EndTicks >= _midnight.UtcTicks)
            CloseAtMidnight();
        Level = OpenWindow is null ? Level.Clear : Level.Likely;
    }

    private protected override void CloseAtEnd(WetSpell? endedSpell)
    {
        if (OpenWindow is not null)
            CloseAtMidnight();
    }

    /// <summary>An interval that reaches over midnight may open the window after it: such a window has no length.</summary>
    private void CloseAtMidnight() =>
        Close(OpenWindow is { } window && window.OpenedAt > _midnight ? window.OpenedAt : _midnight);

    private double? MeanC => _tempCount > 0 ? _tempSum / _tempCount : null;

    private bool IsUncertain => _unclear > WetSpellTracker.UncertainShare * _length;

    private void BeginDay(DateTimeOffset at)
    {
        _midnight = LocalDay.EndOf(at, zone);
        (_rainMm, _tempSum, _tempCount, _maxC) = (0, 0, 0, double.NegativeInfinity);
        (_unclear, _length, _fired) = (0, 0, false);
    }

    private void Add(in WeatherInterval interval, Wetness wetness)
    {
        _length += interval.LengthTicks;
        if (interval.RainMm is { } rain && wetness.State != WetnessState.Frozen)
            _rainMm += rain;
        if (interval.TemperatureC is { } t)
        {
            _tempSum += t;
            _tempCount++;
            _maxC = Math.Max(_maxC, t);
        }
        else
        {
            _unclear += interval.LengthTicks;
        }
    }

    /// <summary>Keeps the wettest day of the running spell; what it was is asked after it has ended.</summary>
    private void NoteSpell(in WetSpell? running, bool enough)
    {
        if (!running.HasValue)
            return;
        ref readonly var spell = ref Nullable.GetValueRefOrDefaultRef(in running);
        if (spell.StartTicks != _spell)
            (_spell, _mostRainMm, _enoughInSpell) = (spell.StartTicks, 0, false);
        _mostRainMm = Math.Max(_mostRainMm, _rainMm);
        _enoughInSpell |= enough;
    }

    private void Refresh()
    {
        if (OpenWindow is { } window)
            Update(window with { RainMm = _rainMm, MeanTempC = MeanC, Uncertain = IsUncertain });
    }
}
