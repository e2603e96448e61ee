using BackyardSentinel.Garden;
using BackyardSentinel.Infection;
using BackyardSentinel.Phenology;
using BackyardSentinel.Weather;

namespace BackyardSentinel.Watching;

/// <summary>
/// One planting's bud stage and how far its tissue can be infected: fixed by the garden file, followed through the
/// season, or not followed, which counts as always open.
/// </summary>
public sealed class PlantingStage
{
    private readonly Planting _planting;
    private readonly SeasonCalendar _calendar;
    private readonly SusceptibleSeason _open = new();
    private readonly Action<StageReached> _onReached;
    private Season? _season;
    private StageReached? _last, _lastSeen;
    private DateOnly? _firstOn;
    private int _seenLeaf, _seenFlower;

    internal PlantingStage(
        Site site,
        Planting planting,
        SeasonCalendar calendar,
        UsualHours? usual,
        IEnumerable<StageEntry> seen,
        Action<StageReached> onReached)
    {
        (_planting, _calendar, _onReached) = (planting, calendar, onReached);
        if (planting.Follows is { } needs)
            Model = new StageModel(needs, calendar, site.Zone, StageObserved.From(seen), Reached, usual);
    }

    /// <summary>The model that is followed; <c>null</c> where the stage is fixed or not followed.</summary>
    public StageModel? Model { get; }

    /// <summary>The season as far as infection goes; meaningful where stages are followed.</summary>
    public SusceptibleSeason Open => _open;

    /// <summary>BBCH code: the last one seen, or the expected one; <c>null</c> where none is known.</summary>
    public int? Code
    {
        get
        {
            if (Model is null)
                return _planting.Stage;
            if (_last is { Source: StageSource.Logged } && Model.Source == StageSource.Logged)
                return _lastSeen!.Stage.Code;
            // Leaf buds tell of leaf curl until the flowers open.
            return Model.FlowerBud is { Code: >= 60 } flower ? flower.Code : Model.LeafBud?.Code;
        }
    }

    /// <summary>Where the code comes from.</summary>
    public StageSource Source =>
        Model is null ? StageSource.Logged
        : Code is { } code && code > 0 && code == (BudStage.From(code).IsOfLeaves ? _seenLeaf : _seenFlower) ? StageSource.Logged
        : Model.Source;

    /// <summary>Whether the leaf buds are shut, may be open or are open.</summary>
    public BudState Buds => Model?.Buds ?? (_planting.Stage < 1 ? BudState.Shut : BudState.Open);

    /// <summary>It is known whether the buds are shut or open.</summary>
    public bool IsSure => Buds != BudState.MayBeOpen;

    /// <summary>Why no stage is known, a sentence; <c>null</c> where one is, or none is followed.</summary>
    public Wording.Sentence? Doubt => Model?.Doubt;

    /// <summary>Whether the grower saw this stage of the leaf buds in this season, or a later one, or flowers that are as far.</summary>
    public bool HasSeen(BudStage leafStage) =>
        _seenLeaf >= leafStage.Code || _seenFlower >= (leafStage.Code >= BudStage.GreenTip.Code ? 57 : 51);

    /// <summary>The petals are down, also on the latest tree.</summary>
    public bool PetalsFallen => Model is null ? _planting.Stage is >= 69 and < 90 : Model.PetalFallOn is not null;

    /// <summary>How far tissue can be infected on a local day, 0–1. Buds that may be open count as open: silence is no all-clear.</summary>
    public double FactorOn(DateOnly day)
    {
        if (Model is null)
            return Susceptibility.At(_planting.Stage);
        return Buds == BudState.Shut || IsOver(day) ? 0 : _open.FactorOn(day, Model.PetalFallOn);
    }

    /// <summary>It is so late in the season that nothing can be infected any more, whatever the stage.</summary>
    internal bool IsOver(DateOnly day) => SusceptibleSeason.IsOver(day, LongestDay);

    private DateOnly? LongestDay => Model?.Season is { } s ? _calendar.LongestDay(s) : null;

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
        if (Model is { } model)
            _open.DayOver(day, model.GreenTipOn, model.PetalFallOn, LongestDay, _calendar.LengtheningHours(day.Day));
    }

    private void Reached(StageReached stage)
    {
        Turn();
        if (Model is { Season: null } && _firstOn is { } first && stage.On >= first.AddDays(StageModel.DaysWithoutCalendar))
            Begin();
        (_firstOn, _last) = (_firstOn ?? stage.On, stage);
        if (stage.Source == StageSource.Logged)
        {
            _lastSeen = stage;
            if (stage.Stage.IsOfLeaves)
                _seenLeaf = stage.Stage.Code;
            else
                _seenFlower = stage.Stage.Code;
        }

        _onReached(stage);
    }

    private void Turn()
    {
        if (Model?.Season is not { } now || now == _season)
            return;
        if (_season is not null)
            Begin();
        _season = now;
    }

    private void Begin()
    {
        _open.Begin();
        (_firstOn, _last, _lastSeen, _seenLeaf, _seenFlower) = (null, null, null, 0, 0);
    }
}
