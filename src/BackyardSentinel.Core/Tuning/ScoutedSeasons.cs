using BackyardSentinel.Garden;
using BackyardSentinel.Infection;
using BackyardSentinel.Scouting;

namespace BackyardSentinel.Tuning;

/// <summary>
/// Scouting made ready to judge the windows of many sets of limits: what a window that opens on a day would come to, and which
/// curl wants one before it. It counts what <see cref="Verification"/> counts, season by season.
/// </summary>
public sealed class ScoutedSeasons
{
    private readonly int _firstDay;
    private readonly int[] _seasonOfDay;
    private readonly int[][] _countedFrom;
    private readonly Outcome[][] _outcomes;
    private readonly (int Season, int On, int? CleanOn)[][] _newCurl;
    private readonly (int Season, int On)[][] _clean;

    /// <summary>Makes scouting ready.</summary>
    /// <param name="recording">The weather that was judged.</param>
    /// <param name="journal">The journal's sound entries.</param>
    /// <param name="seasonOf">The season that a local day belongs to, by its year.</param>
    public ScoutedSeasons(Recording recording, IEnumerable<JournalEntry> journal, Func<DateOnly, int> seasonOf)
    {
        var site = recording.Site;
        var plantings = site.Plantings.Select(planting => planting.Id).ToList();
        var days = recording.SymptomDays;
        var all = Looks.OnePerDay(
            journal.OfType<ScoutEntry>().Where(entry => entry.Site == site.Id && plantings.Contains(entry.Planting)));
        // Windows can be verified wherever something was open; a rule is only to blame for weather that was measured.
        var found = Looks.NewCurl(all, seasonOf).ToList();
        List<ScoutEntry> asked = [.. all.Where(look => look.Curled == 0), .. found.Select(curl => curl.Look)];
        var clean = all.Where(look => look.Curled == 0 && DaysOf(look).Tells(look.On)).ToList();
        var curl = found.FindAll(one => DaysOf(one.Look).Tells(one.Look.On, one.CleanOn));
        Seasons = [.. clean.Concat(curl.Select(one => one.Look)).Select(look => seasonOf(look.On)).Distinct().Order()];
        var measured = all.Where(look => recording.Count > 0 && WasMeasured(recording, look.On.DayNumber)).ToHashSet();
        clean.RemoveAll(look => !measured.Contains(look));
        curl.RemoveAll(one => !measured.Contains(one.Look));
        NotMeasured = asked.Count(look => !measured.Contains(look));
        NothingOpen = asked.Count - NotMeasured - clean.Count - curl.Count;

        (_firstDay, var lastDay) = recording.Count == 0 ? (0, 0) : recording.Days;
        _seasonOfDay = [.. Enumerable.Range(_firstDay, lastDay - _firstDay + 1).Select(day => IndexOf(DateOnly.FromDayNumber(day)))];
        _countedFrom =
        [
            .. days.Select(own => Enumerable.Range(_firstDay, _seasonOfDay.Length)
                .Select(day => own.CountedFrom(DateOnly.FromDayNumber(day)).DayNumber)
                .ToArray()),
        ];
        // Curl after a window is a hit, and none a false alarm, whatever of the other weather was measured.
        _outcomes = [.. plantings.Select((id, i) => Outcomes(all.Where(look => look.Planting == id), _countedFrom[i]))];
        _newCurl =
        [
            .. plantings.Select(id => curl
                .Where(one => one.Look.Planting == id)
                .Select(one => (IndexOf(one.Look.On), one.Look.On.DayNumber, one.CleanOn?.DayNumber))
                .ToArray()),
        ];
        _clean =
        [
            .. plantings.Select(id => clean
                .Where(look => look.Planting == id)
                .Select(look => (IndexOf(look.On), look.On.DayNumber))
                .ToArray()),
        ];

        int IndexOf(DateOnly day) => Seasons.IndexOf(seasonOf(day));

        SymptomDays DaysOf(ScoutEntry look) => days[plantings.IndexOf(look.Planting)];
    }

    /// <summary>The seasons with scouting that can be judged, by their years, rising.</summary>
    public List<int> Seasons { get; }

    /// <summary>Looks of which nothing can be learnt, as the weather of the weeks before was not measured.</summary>
    public int NotMeasured { get; }

    /// <summary>Looks of which nothing can be learnt, as nothing could be infected in the weeks before, by whatever limits.</summary>
    public int NothingOpen { get; }

    /// <summary>Adds a planting's windows to the counts of their seasons.</summary>
    /// <param name="planting">The planting, by number.</param>
    /// <param name="opened">Local days, by number, on which the windows opened, rising.</param>
    /// <param name="covered">Whether a protectant may have covered the tree, window by window.</param>
    /// <param name="seasons">The counts of each season.</param>
    internal void Add(int planting, ReadOnlySpan<int> opened, ReadOnlySpan<bool> covered, Span<Counts> seasons)
    {
        var outcomes = _outcomes[planting];
        for (var i = 0; i < opened.Length; i++)
        {
            if (_seasonOfDay[opened[i] - _firstDay] is var season && season < 0)
                continue;
            var outcome = outcomes[opened[i] - _firstDay];
            seasons[season] += outcome == Outcome.Hit ? new Counts(1, 0, 0, 0, 0)
                : outcome == Outcome.FalseAlarm && !covered[i] ? new Counts(0, 1, 0, 0, 0)
                : new Counts(0, 0, 0, 1, 0);
        }

        foreach (var (season, on, cleanOn) in _newCurl[planting])
        {
            if (!IsAnnounced(planting, opened, season, on, cleanOn))
                seasons[season] += new Counts(0, 0, 1, 0, 0);
        }

        foreach (var (season, on) in _clean[planting])
        {
            if (!Belongs(planting, opened, on))
                seasons[season] += new Counts(0, 0, 0, 0, 1);
        }
    }

    /// <summary>Adds a planting's looks to the counts of their seasons; curl that is seen again is left out.</summary>
    /// <param name="planting">The planting, by number.</param>
    /// <param name="opened">As for <see cref="Add"/>.</param>
    /// <param name="covered">As for <see cref="Add"/>.</param>
    /// <param name="seasons">The counts of each season.</param>
    internal void AddLooks(int planting, ReadOnlySpan<int> opened, ReadOnlySpan<bool> covered, Span<LookCounts> seasons)
    {
        foreach (var (season, on, _) in _newCurl[planting])
            seasons[season] += Belongs(planting, opened, on) ? new LookCounts(1, 0, 0, 0) : new LookCounts(0, 1, 0, 0);
        foreach (var (season, on) in _clean[planting])
        {
            if (!Belongs(planting, opened, on))
                seasons[season] += new LookCounts(0, 0, 0, 1);
            else if (!IsCovered(planting, opened, covered, on))
                seasons[season] += new LookCounts(0, 0, 1, 0);
        }
    }

    private bool IsCovered(int planting, ReadOnlySpan<int> opened, ReadOnlySpan<bool> covered, int on)
    {
        for (var i = 0; i < opened.Length; i++)
        {
            if (!covered[i] && Belongs(planting, opened[i], on))
                return false;
        }

        return true;
    }

    private bool IsAnnounced(int planting, ReadOnlySpan<int> opened, int season, int on, int? cleanOn)
    {
        foreach (var day in opened)
        {
            if (Incubation.CanHaveCome(on, cleanOn, _countedFrom[planting][day - _firstDay]) && _seasonOfDay[day - _firstDay] == season)
                return true;
        }

        return false;
    }

    private bool Belongs(int planting, ReadOnlySpan<int> opened, int on)
    {
        foreach (var day in opened)
        {
            if (Belongs(planting, day, on))
                return true;
        }

        return false;
    }

    private bool Belongs(int planting, int opened, int on) => Incubation.Shows(on, _countedFrom[planting][opened - _firstDay]);

    /// <summary>What a window would come to, by the day on which it opens.</summary>
    private static Outcome[] Outcomes(IEnumerable<ScoutEntry> looks, int[] countedFrom)
    {
        var outcomes = new Outcome[countedFrom.Length];
        foreach (var entry in looks)
        {
            for (var day = 0; day < outcomes.Length; day++)
            {
                if (!Incubation.Shows(entry.On.DayNumber, countedFrom[day]))
                    continue;
                if (entry.Curled > 0)
                    outcomes[day] = Outcome.Hit;
                else if (outcomes[day] == Outcome.Unverified)
                    outcomes[day] = Outcome.FalseAlarm;
            }
        }

        return outcomes;
    }

    /// <summary>Most of the time in which the infection fell that a look can show was measured.</summary>
    private static bool WasMeasured(Recording recording, int on)
    {
        var (known, all) = (0, 0);
        var (first, last) = (on - Incubation.LastDay, on - Incubation.FirstDay);
        var perDay = (int)(TimeSpan.TicksPerDay / recording.Site.Step.Ticks);
        if (first < recording.Days.First || last > recording.Days.Last)
            return false;
        // The day's intervals lie near its place, an hour off when the clocks change.
        for (var i = Math.Max(0, (first - recording.Days.First - 1) * perDay); i < recording.Count && recording.DayOf(i) <= last; i++)
        {
            if (recording.DayOf(i) < first)
                continue;
            all++;
            known += recording.IsKnown(i) ? 1 : 0;
        }

        return all > 0 && all - known <= Looks.MostUnknown * all;
    }
}
