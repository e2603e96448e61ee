using BackyardSentinel.Events;
using BackyardSentinel.Garden;
using BackyardSentinel.Infection;

namespace BackyardSentinel.Reporting;

/// <summary>The pages of one planting in a site's almanac.</summary>
internal sealed class PlantingPages
{
    private readonly StretchLog<LevelHeld> _levels = new();
    private readonly StretchLog<Tissue> _tissue = new();
    private readonly StretchLog<Cover?> _cover = new();
    private readonly List<BudStageReached> _stages = [];
    private readonly List<InfectionSeasonClosed> _closings = [];
    private readonly List<InfectionWindow> _windows = [];
    private readonly List<InfectionWindow> _open = [];
    private readonly List<(int Day, float Chill, float Heat, bool Warming)> _sums = [];
    private Level? _last;

    /// <summary>How it stands after an interval that began at <paramref name="start"/>.</summary>
    public void Note(in PlantingMoment moment, DateTimeOffset start, Missing missing)
    {
        // Under a shelter another sensor is asked, and it alone.
        if (missing == Missing.None && moment.Tissue.Sheltered)
            missing = Missing.UnderShelter;
        var held = new LevelHeld(moment.Level, moment.Level == Level.Unknown ? missing : Missing.None);
        if (!_levels.Holds(held))
            _levels.Turn(moment.Level == _last ? start : moment.Since ?? start, held);
        _last = moment.Level;
        _tissue.Turn(start, moment.Tissue);
        _cover.Turn(start, moment.Cover);
    }

    public void Note(SentinelEvent fact)
    {
        switch (fact)
        {
            case BudStageReached stage:
                _stages.Add(stage);
                break;
            case InfectionSeasonClosed closed:
                _closings.Add(closed);
                break;
            case InfectionWindowOpened opened:
                _open.Add(opened.Window);
                break;
            case InfectionWindowClosed closed:
                _open.RemoveAll(open => Same(open, closed.Window));
                _windows.Add(closed.Window);
                break;
            default: // Levels and cover are known from the moments, the rest are calls to act.
                break;
        }
    }

    public void DayOver(in SumsOfDay sums) => _sums.Add((sums.Day.DayNumber, (float)sums.Chill, (float)sums.HeatHours, sums.Warming));

    /// <param name="planting">Its id.</param>
    /// <param name="from">From when, UTC.</param>
    /// <param name="first">From which local day: what was seen of the tree may be older than the first reading.</param>
    /// <param name="to">Until when, UTC.</param>
    /// <param name="toTheEnd">That is all there is: what came about at that very moment is there.</param>
    /// <param name="openNow">The windows that are open now, with their figures as they stand.</param>
    public PlantingSlice Slice(
        string planting,
        DateTimeOffset from,
        DateOnly first,
        DateTimeOffset to,
        bool toTheEnd,
        IReadOnlyList<InfectionWindow> openNow)
    {
        var last = DateOnly.FromDateTime(to.UtcDateTime.AddDays(1));
        var open = _open.Select(told => openNow.FirstOrDefault(now => Same(now, told)) is { Planting: not null } now ? now : told);
        return new PlantingSlice(
            planting,
            _levels.Between(from, to),
            _tissue.Between(from, to),
            _cover.Between(from, to),
            [
                .. _windows.Concat(open)
                    .Where(window => (toTheEnd || window.OpenedAt < to) && !(window.ClosedAt <= from))
                    .OrderBy(window => window.OpenedAt)
                    .ThenBy(window => window.Rule)
                    .ThenBy(window => window.Sheltered),
            ],
            [.. _stages.Where(stage => stage.On >= first && stage.On <= last)],
            [.. _closings.Where(closed => closed.On >= first && closed.On <= last)],
            [
                .. _sums.Where(sums => sums.Day >= first.DayNumber && sums.Day <= last.DayNumber)
                    .Select(sums => new SumsOfDay(DateOnly.FromDayNumber(sums.Day), sums.Chill, sums.Heat, sums.Warming)),
            ]);
    }

    private static bool Same(in InfectionWindow one, in InfectionWindow other) =>
        one.Rule == other.Rule && one.OpenedAt == other.OpenedAt && one.Sheltered == other.Sheltered;
}
