using BackyardSentinel.Events;
using BackyardSentinel.Garden;
using BackyardSentinel.Phenology;

namespace BackyardSentinel.Watching;

/// <summary>Asks for looks at the buds of one planting where the computed stage is too uncertain to judge by.</summary>
internal sealed class BudLooks(Site site, Planting planting, PlantingStage stage, Action<SentinelEvent> tell)
{
    /// <summary>The buds are asked for once in so many days, and not so soon after they were seen.</summary>
    private const int DaysOfOneLook = 7;

    private BudState _buds = BudState.Shut;
    private DateOnly? _lastLook;
    private int _askedFor;
    private bool _needsTold;

    /// <summary>The grower has seen a stage.</summary>
    public void Seen(DateOnly on) => _lastLook = on;

    /// <summary>Tells when the buds are no longer known to be shut, or are again.</summary>
    /// <param name="at">When it came about, UTC.</param>
    /// <param name="on">The local day.</param>
    public void Note(DateTimeOffset at, DateOnly on)
    {
        if (stage.Model is null || stage.Buds == _buds || stage.IsOver(on))
            return;
        tell(new BudsChanged(site.Id, at, planting.Id, _buds, stage.Buds, on));
        _buds = stage.Buds;
    }

    /// <summary>A local day begins: asks for a look if one is due.</summary>
    /// <param name="at">When it begins, UTC.</param>
    /// <param name="today">The day.</param>
    /// <param name="canBeInfected">Some of the tissue can.</param>
    public void DayBegins(DateTimeOffset at, DateOnly today, bool canBeInfected)
    {
        if (stage.Model is not { } model)
            return;
        if (_buds == BudState.Shut)
            _askedFor = 0;
        if (!_needsTold && model.NeedsNotMet)
        {
            _needsTold = true;
            tell(new NeedsFellShort(site.Id, at, planting.Id, model.ChillMetOn!.Value, model.ChillSum, model.Needs.ChillNeed));
        }

        // From the first swell that may be, the expected swell, the expected green tip: each is asked for once.
        var step = model.DatesOf(BudStage.GreenTip).Expected is not null ? 3
            : model.DatesOf(BudStage.LeafBudSwell).Expected is not null ? 2
            : _buds != BudState.Shut ? 1 : 0;
        if (step <= _askedFor || !canBeInfected || stage.HasSeen(step == 3 ? BudStage.GreenTip : BudStage.LeafBudSwell))
            return;
        if (today < _lastLook?.AddDays(DaysOfOneLook))
        {
            // Asked for a moment ago: that look serves. Seen shut a moment ago: the question comes again.
            if (_askedFor > 0)
                _askedFor = step;
            return;
        }

        (_askedFor, _lastLook) = (step, today);
        tell(
            new BudLookFellDue(
                site.Id,
                at,
                planting.Id,
                step == 3 ? 9 : 1,
                step > 1,
                today,
                model is { HasUsualYear: false, UnknownChillHours: > 24 * DaysOfOneLook })
            {
                SeenSwelling = stage.HasSeen(BudStage.LeafBudSwell),
            });
    }
}
