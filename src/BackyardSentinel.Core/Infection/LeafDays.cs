using BackyardSentinel.Phenology;

namespace BackyardSentinel.Infection;

/// <summary>
/// When one planting had its first leaves (BBCH 11), season by season, as far as is known: the days on which curl of a window can
/// show are counted by them.
/// </summary>
public sealed class LeafDays
{
    private readonly List<(Season? Season, DateOnly On, bool Awaited)> _seasons = [];

    /// <summary>Notes the day of a season, in place of what was known of it.</summary>
    /// <param name="season">The season; <c>null</c>: there is no calendar.</param>
    /// <param name="leavesOn">The day; <c>null</c>: there are none yet. Then they count as if they came tomorrow.</param>
    /// <param name="today">Today.</param>
    public void Note(Season? season, DateOnly? leavesOn, DateOnly today)
    {
        var noted = (season, leavesOn ?? today.AddDays(1), leavesOn is null);
        var at = _seasons.FindIndex(known => Holds(known, noted.Item2));
        if (at < 0)
            _seasons.Add(noted);
        else
            _seasons[at] = noted;
    }

    /// <summary>The day from which the days of a window are counted: its own or, where the leaves came late, a later one.</summary>
    /// <param name="day0">The local day on which it opened.</param>
    public DateOnly CountedFrom(DateOnly day0) =>
        _seasons.FindIndex(known => Holds(known, day0)) is >= 0 and var at ? Incubation.CountedFrom(day0, _seasons[at].On) : day0;

    /// <summary>A window waits for leaves on which its curl could show.</summary>
    /// <param name="day0">The local day on which it opened.</param>
    public bool Awaits(DateOnly day0) => _seasons.Exists(known => known.Awaited && Holds(known, day0));

    private static bool Holds((Season? Season, DateOnly On, bool Awaited) known, DateOnly day) =>
        known.Season?.Contains(day) ?? Math.Abs(day.DayNumber - known.On.DayNumber) < StageModel.DaysWithoutCalendar;
}
