using BackyardSentinel.Infection;
using BackyardSentinel.Phenology;
using BackyardSentinel.Weather;

namespace BackyardSentinel;

/// <summary>
/// One planting's bud stage and how far its tissue can be infected: fixed by the garden file, followed through the
/// season, or not followed, which counts as always open.
/// </summary>
public sealed class PlantingStage
{
    private readonly Planting planting;
    private readonly SusceptibleSeason open = new();
    private readonly Action<StageReached> onReached;
    private Season? season;
    private StageReached? last, lastSeen;
    private DateOnly? firstOn;

    internal PlantingStage(Site site, Planting planting, SeasonCalendar calendar, IEnumerable<StageEntry> seen, Action<StageReached> onReached)
    {
        (this.planting, this.onReached) = (planting, onReached);
        if (planting.Follows is { } needs)
            Model = new StageModel(needs, calendar, site.Zone, Known(seen), Reached);
    }

    /// <summary>The model that is followed; <c>null</c> where the stage is fixed or not followed.</summary>
    public StageModel? Model { get; }

    /// <summary>The season as far as infection goes; meaningful where stages are followed.</summary>
    public SusceptibleSeason Open => open;

    /// <summary>BBCH code: the last one seen or computed; <c>null</c> where none is known.</summary>
    public int? Code
    {
        get
        {
            if (Model is null)
                return planting.Stage;
            if (IsHeld || (last is { Source: StageSource.Logged } && Model.Source == StageSource.Logged))
                return lastSeen!.Stage.Code;
            // Leaf buds tell of leaf curl until the flowers open.
            return Model.FlowerBud is { Code: >= 60 } flower ? flower.Code : Model.LeafBud?.Code;
        }
    }

    /// <summary>Where the code comes from.</summary>
    public StageSource Source => Model is null || IsHeld ? StageSource.Logged : Model.Source;

    /// <summary>Why no stage is known, a sentence; <c>null</c> where one is, or none is followed.</summary>
    public string? Doubt => IsHeld ? null : Model?.Doubt;

    /// <summary>How far tissue can be infected on a local day, 0–1. An unknown stage counts as open: silence is no all-clear.</summary>
    public double FactorOn(DateOnly day)
    {
        if (Model is null)
            return Susceptibility.At(planting.Stage);
        return Model.Source == StageSource.Unknown && !IsHeld ? 1 : open.FactorOn(day);
    }

    /// <summary>Time passed: what was seen until then counts, and seasons turn.</summary>
    internal void AdvanceTo(DateTimeOffset at)
    {
        Model?.AdvanceTo(at);
        Turn();
    }

    internal void Add(in HourTemperature hour)
    {
        Model?.Add(hour);
        Turn();
    }

    internal void DayOver(in DayWeather day)
    {
        if (Model is not null)
            open.DayOver(day);
    }

    /// <summary>The sums cannot be trusted, but the grower saw a stage that only goes forward from there.</summary>
    private bool IsHeld => Model is { Source: StageSource.Unknown } && lastSeen is { Stage.Code: > 0 and < 90 };

    private void Reached(StageReached stage)
    {
        Turn();
        if (Model is { Season: null } && firstOn is { } first && stage.On >= first.AddDays(StageModel.DaysWithoutCalendar))
            Begin();
        (firstOn, last) = (firstOn ?? stage.On, stage);
        if (stage.Source == StageSource.Logged)
            lastSeen = stage;
        open.Reached(stage.Stage.Code, stage.On);
        onReached(stage);
    }

    private void Turn()
    {
        if (Model?.Season is not { } now || now == season)
            return;
        if (season is not null)
            Begin();
        season = now;
    }

    private void Begin()
    {
        open.Begin();
        (firstOn, last, lastSeen) = (null, null, null);
    }

    private static IEnumerable<StageObserved> Known(IEnumerable<StageEntry> seen)
    {
        foreach (var entry in seen)
        {
            if (BudStage.TryFrom(entry.Code, out var stage))
                yield return new StageObserved(entry.On, stage);
        }
    }
}
