using BackyardSentinel.Events;
using BackyardSentinel.Garden;
using BackyardSentinel.Infection;
using BackyardSentinel.Phenology;
using BackyardSentinel.Weather;

namespace BackyardSentinel.Watching;

/// <summary>
/// The weeks after each window of one planting in which curl shows, and the looks for it: one serves every window that it suits.
/// </summary>
internal sealed class CurlLooks(Site site, Planting planting, PlantingStage stage, SymptomDays days, Action<SentinelEvent> tell)
{
    private readonly List<Incubation> _incubations = [];
    private DateOnly? _leavesSeenOn;

    /// <summary>Windows whose curl has shown or may still show, oldest first.</summary>
    public IReadOnlyList<Incubation> Incubations => _incubations;

    /// <summary>A window has opened.</summary>
    public void Opened(DateTimeOffset at) => _incubations.Add(new Incubation(at, LocalDay.Of(at, site.Zone)));

    /// <summary>Buds that were seen shut were shut before, too: nothing can come of earlier windows.</summary>
    /// <param name="at">When they were seen, UTC.</param>
    public void SeenShut(DateTimeOffset at) => _incubations.RemoveAll(incubation => incubation.OpenedAt < at);

    /// <summary>The grower has looked at the shoots.</summary>
    public void LookedOn(DateOnly day) => _incubations.ForEach(incubation => incubation.LookedOn(day));

    /// <summary>Leaves are out, whatever warmth says: petals are down, or leaves have curled.</summary>
    /// <param name="on">When that was seen.</param>
    /// <param name="today">The day that begins.</param>
    public void LeavesSeen(DateOnly on, DateOnly today)
    {
        if (!IsThisSeasons(_leavesSeenOn) || on < _leavesSeenOn)
            _leavesSeenOn = on;
        Unfold(today);
    }

    /// <summary>A local day is over.</summary>
    public void DayOver(in DayWeather day)
    {
        foreach (var incubation in _incubations)
            incubation.DayOver(day);
        var tomorrow = day.Day.AddDays(1);
        _incubations.RemoveAll(incubation => incubation.Last < tomorrow && !incubation.AwaitsLeaves);
    }

    /// <summary>A local day begins: asks for a look if one is due.</summary>
    /// <param name="at">When it begins, UTC.</param>
    /// <param name="today">The day.</param>
    public void DayBegins(DateTimeOffset at, DateOnly today)
    {
        Unfold(today);
        if (_incubations.Find(incubation => incubation.IsDueOn(today)) is not { } due)
            return;
        var served = _incubations.FindAll(incubation => !incubation.AwaitsLeaves && incubation.Possible <= today);
        tell(
            new ScoutingFellDue(
                site.Id,
                at,
                planting.Id,
                due.OpenedAt,
                today >= due.LikelyTo,
                due.LikelyFrom,
                due.LikelyTo,
                served.TrueForAll(incubation => incubation.MayNotDevelop)));
        served.ForEach(incubation => incubation.LookedOn(today));
    }

    private void Unfold(DateOnly today)
    {
        if (stage.Model is not { Source: not StageSource.Unknown } model)
            return;
        var leavesOn = model.DatesOf(BudStage.FirstLeaves).Expected;
        if (IsThisSeasons(_leavesSeenOn) && !(leavesOn <= _leavesSeenOn))
            leavesOn = _leavesSeenOn;
        days.NoteLeaves(model.Season, leavesOn, today);
        _incubations.ForEach(incubation => incubation.LeavesUnfold(leavesOn, today));
    }

    private bool IsThisSeasons(DateOnly? day) => day is { } known && stage.Model?.Season is { } season && season.Contains(known);
}
