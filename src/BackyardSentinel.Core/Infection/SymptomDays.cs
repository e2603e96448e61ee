using BackyardSentinel.Phenology;

namespace BackyardSentinel.Infection;

/// <summary>
/// Which days of one planting belong together: those on which it could be infected, and those on which curl of that can show, as far as
/// is known. The latter are counted by the first leaves (BBCH 11) of the season.
/// </summary>
public sealed class SymptomDays
{
    /// <summary>Longer before a look nothing is asked for: seasons are shorter.</summary>
    private const int LongestAgo = 300;

    private readonly List<(Season? Season, DateOnly On, bool Awaited)> _leaves = [];
    private readonly List<(DateOnly From, DateOnly To)> _open = [];

    /// <summary>Notes the day of a season's first leaves, in place of what was known of it.</summary>
    /// <param name="season">The season; <c>null</c>: there is no calendar.</param>
    /// <param name="leavesOn">The day; <c>null</c>: there are none yet. Then they count as if they came tomorrow.</param>
    /// <param name="today">Today.</param>
    public void NoteLeaves(Season? season, DateOnly? leavesOn, DateOnly today)
    {
        var noted = (season, On: leavesOn ?? today.AddDays(1), leavesOn is null);
        var at = _leaves.FindIndex(known => Holds(known, noted.On));
        if (at < 0)
            _leaves.Add(noted);
        else
            _leaves[at] = noted;
    }

    /// <summary>Notes a day on which weather could infect: the tissue was open, and no roof kept the rain off. Days go forwards.</summary>
    public void NoteOpen(DateOnly day)
    {
        if (_open is [.., var last] && day <= last.To.AddDays(1))
            _open[^1] = (last.From, day > last.To ? day : last.To);
        else
            _open.Add((day, day));
    }

    /// <summary>The day from which the days of a window are counted: its own or, where the leaves came late, a later one.</summary>
    /// <param name="day0">The local day on which it opened.</param>
    public DateOnly CountedFrom(DateOnly day0) =>
        _leaves.FindIndex(known => Holds(known, day0)) is >= 0 and var at ? Incubation.CountedFrom(day0, _leaves[at].On) : day0;

    /// <summary>A window waits for leaves on which its curl could show.</summary>
    /// <param name="day0">The local day on which it opened.</param>
    public bool Awaits(DateOnly day0) => _leaves.Exists(known => known.Awaited && Holds(known, day0));

    /// <summary>A look falls among the days on which curl of a window can show.</summary>
    /// <param name="look">The look's day.</param>
    /// <param name="day0">The local day on which the window opened.</param>
    public bool Shows(DateOnly look, DateOnly day0) => Incubation.Shows(look.DayNumber, CountedFrom(day0).DayNumber);

    /// <summary>Curl that was not there on a day can have come out by another, of a window.</summary>
    /// <param name="sight">The day on which curl was found.</param>
    /// <param name="cleanOn">The day of the look before, which found none; <c>null</c>: nobody had looked.</param>
    /// <param name="day0">The local day on which the window opened.</param>
    public bool CanHaveCome(DateOnly sight, DateOnly? cleanOn, DateOnly day0) =>
        Incubation.CanHaveCome(sight.DayNumber, cleanOn?.DayNumber, CountedFrom(day0).DayNumber);

    /// <summary>A clean look tells something: on one of the days of which it can show curl the planting could be infected.</summary>
    /// <param name="look">The look's day.</param>
    public bool Tells(DateOnly look) => AnyOpen(look, day0 => Shows(look, day0));

    /// <summary>Curl tells something: on one of the days from which it can have come the planting could be infected.</summary>
    /// <inheritdoc cref="CanHaveCome"/>
    public bool Tells(DateOnly sight, DateOnly? cleanOn) => AnyOpen(sight, day0 => CanHaveCome(sight, cleanOn, day0));

    private bool AnyOpen(DateOnly look, Func<DateOnly, bool> fits)
    {
        var (first, last) = (look.AddDays(-LongestAgo), look.AddDays(-Incubation.FirstDay));
        foreach (var (from, to) in _open)
        {
            for (var day = from > first ? from : first; day <= to && day <= last; day = day.AddDays(1))
            {
                if (fits(day))
                    return true;
            }
        }

        return false;
    }

    private static bool Holds((Season? Season, DateOnly On, bool Awaited) known, DateOnly day) =>
        known.Season?.Contains(day) ?? Math.Abs(day.DayNumber - known.On.DayNumber) < StageModel.DaysWithoutCalendar;
}
