using BackyardSentinel.Events;
using BackyardSentinel.Garden;
using BackyardSentinel.Infection;
using BackyardSentinel.Phenology;
using BackyardSentinel.Weather;

namespace BackyardSentinel.Alerting;

/// <summary>A planting's level has risen. From <c>possible</c> on an infection window is open.</summary>
/// <param name="Site">The site's id.</param>
/// <param name="Planting">The planting's id.</param>
/// <param name="At">When it came about, UTC.</param>
/// <param name="To">The level now.</param>
/// <param name="From">The level before.</param>
/// <param name="Since">When the level now began, UTC.</param>
/// <param name="SpellStart">Start of the wet spell or of the rule's stretch, UTC; names the episode.</param>
public sealed record LevelRisen(
    string Site, string Planting, DateTimeOffset At, Level To, Level From, DateTimeOffset Since, DateTimeOffset SpellStart)
    : PlantingOccasion(Site, Planting, At)
{
    /// <summary>
    /// When the level had fallen again before it became known, as after the service was off, UTC; <c>null</c>: it stands.
    /// </summary>
    public DateTimeOffset? FellAt { get; init; }

    /// <summary>The rule that gives the level.</summary>
    public required string Rule { get; init; }

    /// <summary>The rule that it is a variant of; <c>null</c>: it is none.</summary>
    public RuleName? VariantOf { get; init; }

    /// <summary>Wet hours so far, h; <c>null</c> where the rule counts none.</summary>
    public double? WetHours { get; init; }

    /// <summary>Rain so far, mm; <c>null</c> where none is measured.</summary>
    public double? RainMm { get; init; }

    /// <summary>Mean temperature over wet time, °C; <c>null</c> where unknown.</summary>
    public double? MeanTempC { get; init; }

    /// <summary>While building: how much of the rule's minimum is reached, 0–1; otherwise <c>null</c>.</summary>
    public double? FractionReached { get; init; }

    /// <summary>What is left of a protectant; <c>null</c> where unknown.</summary>
    public Cover? Cover { get; init; }

    /// <summary>The local day from which curl of it may show.</summary>
    public required DateOnly LookFrom { get; init; }

    /// <summary>The tree has no leaf yet on which it could: that day is the earliest.</summary>
    public bool AwaitsLeaves { get; init; }

    /// <summary>Too much of the weather behind it is missing.</summary>
    public bool Uncertain { get; init; }

    /// <summary>It is known that the buds are open; where not, the level holds only if they are.</summary>
    public bool StageSure { get; init; } = true;

    /// <summary>The petals are down, and a window counts half.</summary>
    public bool Declining { get; init; }

    /// <summary>Judged without a rain gauge.</summary>
    public bool NoRainGauge { get; init; }

    /// <summary>A rain shelter is over it, and the sensor under it says wet.</summary>
    public bool Sheltered { get; init; }

    /// <summary>The level by each rule, the driving one included.</summary>
    public IReadOnlyDictionary<string, Level> Opinions { get; init; } = new Dictionary<string, Level>();

    /// <inheritdoc/>
    public override string Kind => "level-risen";

    /// <inheritdoc/>
    public override string Story => $"window/{Stamp(SpellStart)}";

    /// <inheritdoc/>
    public override int Rung => (int)To;

    /// <inheritdoc/>
    public override DateTimeOffset? EndedAt => FellAt;

    /// <summary>Three days (assumed): later only scouting is of use, and that has an occasion of its own.</summary>
    public override DateTimeOffset UsefulUntil => At.AddDays(3);

    /// <summary>Fresh cover makes it one degree quieter, and so do buds that may still be shut.</summary>
    public override Urgency Urgency => StageSure ? UrgencyOfOpenBuds : (Urgency)Math.Max((int)Urgency.Low, (int)UrgencyOfOpenBuds - 1);

    private Urgency UrgencyOfOpenBuds => (To, Cover) switch
    {
        ( < Infection.Level.Possible, _) or (Infection.Level.Possible, Garden.Cover.Fresh) => Urgency.Low,
        (Infection.Level.Possible, _) or (_, Garden.Cover.Fresh) => Urgency.Normal,
        _ => Urgency.High,
    };

    /// <inheritdoc/>
    public override Level? Level => To;

    /// <inheritdoc/>
    public override bool IsSevere => To == Infection.Level.Severe;

    /// <inheritdoc/>
    public override Wait Wait => Wait.FurtherRise;

    /// <inheritdoc/>
    public override void WriteFacts(IFactWriter facts)
    {
        facts.Level("level", To);
        facts.Whole("level_number", (int)To);
        facts.Level("from", From);
        facts.Moment("since", Since);
        facts.Moment("fell_at", FellAt);
        facts.Moment("spell_start", SpellStart);
        facts.Text("rule", Rule);
        facts.Text("variant_of", VariantOf?.Word());
        facts.Tenths("wet_hours", WetHours);
        facts.Rain("rain", RainMm);
        facts.Temperature("mean_temp", MeanTempC);
        facts.Whole("fraction_pct", FractionReached is { } fraction ? (int)Math.Floor(100 * fraction) : null);
        facts.Text("cover", Cover?.Word());
        facts.Flag("uncertain", Uncertain);
        facts.Flag("no_rain_gauge", NoRainGauge);
        facts.Flag("sheltered", Sheltered);
        facts.Flag("stage_sure", StageSure);
        facts.Flag("awaits_leaves", AwaitsLeaves);
        facts.Levels("others", Others);
        facts.Day("look_from", LookFrom);
    }

    /// <summary>The other rules' levels where one of them judges otherwise; <c>null</c> where all agree.</summary>
    private Dictionary<string, Level>? Others =>
        Opinions.Where(opinion => opinion.Key != Rule).ToDictionary() is var others
        && others.Values.All(level => level == To)
            ? null
            : others;

    /// <summary>The occasion as it is told beside the judgement that stands then: a level that has fallen is told as past.</summary>
    /// <param name="now">The planting's judgement; <c>null</c>: there is none.</param>
    public LevelRisen AsOf(PlantingRisk? now) =>
        now is { Level: not Infection.Level.Unknown, Since: { } since } && now.Level < To ? this with { FellAt = since } : this;

    /// <summary>Makes the occasion from a change of level and what is known beside it.</summary>
    /// <param name="change">The change.</param>
    /// <param name="risk">The planting's standing judgement at that time.</param>
    /// <param name="days">The planting's days of infection and curl.</param>
    /// <param name="site">The site.</param>
    public static LevelRisen Of(LevelChanged change, PlantingRisk risk, SymptomDays days, Site site)
    {
        var (rule, spell) = (site.LevelRule, risk.Spell);
        var window = risk.OpenWindows.Where(open => open.Rule == rule).Select(open => (InfectionWindow?)open).FirstOrDefault();
        var noGauge = spell?.NoRainGauge ?? !site.HasRainGauge;
        var since = LocalDay.Of(change.Since, site.Zone);
        return new LevelRisen(
            change.Site, change.Planting, change.At, change.To, change.From, change.Since, spell?.Start ?? window?.OpenedAt ?? change.Since)
        {
            Rule = rule,
            VariantOf = site.VariantOf(rule),
            WetHours = spell?.WetHours ?? window?.WetHours,
            RainMm = noGauge ? null : spell?.RainMm ?? window?.RainMm,
            MeanTempC = spell?.MeanTempC ?? window?.MeanTempC,
            FractionReached = risk.FractionReached,
            Cover = risk.Cover,
            LookFrom = days.CountedFrom(since).AddDays(Incubation.FirstDay),
            AwaitsLeaves = days.Awaits(since),
            Uncertain = risk.Uncertain,
            StageSure = risk.StageSure,
            Declining = risk.Susceptibility is > 0 and < 1,
            NoRainGauge = noGauge,
            Sheltered = risk.Sheltered,
            Opinions = risk.Opinions,
        };
    }
}
