using BackyardSentinel.Events;
using BackyardSentinel.Garden;
using BackyardSentinel.Infection;
using BackyardSentinel.Weather;

namespace BackyardSentinel.Reporting;

/// <summary>
/// What a site's season was, kept for drawing and telling: the weather by hours, and from when to when what held. It judges
/// nothing: it is told each interval with what came of it, and each event.
/// </summary>
/// <param name="site">The site.</param>
public sealed class Almanac(Site site)
{
    private readonly HourLog _hours = new();
    private readonly List<AlmanacDay> _days = [];
    private readonly StretchLog<WetnessState> _wetness = new();
    private readonly StretchLog<Missing> _missing = new();
    private readonly List<WetSpell> _spells = [];
    private readonly List<DoubtHeld> _doubts = [];
    private readonly PlantingPages[] _plantings = [.. site.Plantings.Select(_ => new PlantingPages())];
    private double _wetTicks, _knownTicks, _dayTicks;

    /// <summary>From when on it knows something, UTC; <c>null</c>: nothing was judged yet.</summary>
    public DateTimeOffset? Begins { get; private set; }

    /// <summary>Until when it knows, UTC: the end of the last interval.</summary>
    public DateTimeOffset Ends { get; private set; }

    /// <summary>The next interval was judged.</summary>
    /// <param name="interval">Its weather.</param>
    /// <param name="wetness">Whether leaves were wet in it.</param>
    /// <param name="distrust">Whether a series is doubted or refused, or the rain gauge silent.</param>
    /// <param name="plantings">How the plantings stand with it, in the site's order.</param>
    public void Note(in WeatherInterval interval, Wetness wetness, Missing distrust, ReadOnlySpan<PlantingMoment> plantings)
    {
        Begins ??= interval.Start;
        Ends = interval.End;
        _hours.Add(interval, wetness);
        _wetness.Turn(interval.Start, wetness.State);
        var missing = (interval.TemperatureC is null ? Missing.Temperature : Missing.None)
            | (wetness.State == WetnessState.Unknown ? Missing.Wetness : Missing.None);
        // Where nothing speaks the gauge does not either, and that goes without saying.
        if (missing != Missing.None)
            distrust &= ~Missing.Rain;
        else
            missing = distrust & Missing.Rain;
        if (missing != Missing.None)
            missing |= distrust;
        _missing.Turn(interval.Start, missing);
        var ticks = interval.Length.Ticks;
        _dayTicks += ticks;
        _wetTicks += wetness.Fraction * ticks;
        _knownTicks += wetness.State == WetnessState.Unknown ? 0 : ticks;
        for (var i = 0; i < plantings.Length; i++)
            _plantings[i].Note(plantings[i], interval.Start, missing | distrust);
    }

    /// <summary>A local day is over; told after its last interval.</summary>
    /// <param name="day">Its weather.</param>
    /// <param name="sums">The sums of the plantings, in the site's order; <c>null</c> where no stages are followed.</param>
    public void DayOver(in DayWeather day, ReadOnlySpan<SumsOfDay?> sums)
    {
        _days.Add(new AlmanacDay(day, _wetTicks / TimeSpan.TicksPerHour, _knownTicks / _dayTicks));
        (_wetTicks, _knownTicks, _dayTicks) = (0, 0, 0);
        for (var i = 0; i < sums.Length; i++)
        {
            if (sums[i] is { } known)
                _plantings[i].DayOver(known);
        }
    }

    /// <summary>Something came to be known.</summary>
    public void Note(SentinelEvent fact)
    {
        switch (fact)
        {
            case WetSpellEnded ended:
                _spells.Add(ended.Spell);
                break;
            case ReadingsDoubted doubted:
                _doubts.Add(new DoubtHeld(doubted.Doubt, doubted.At, null));
                break;
            case ReadingsTrusted trusted:
                for (var i = 0; i < _doubts.Count; i++)
                {
                    if (_doubts[i] is { To: null } held && held.Doubt == trusted.Doubt)
                        _doubts[i] = held with { To = trusted.At };
                }

                break;
            case InfectionWindowOpened opened:
                PagesOf(opened.Window.Planting).Note(fact);
                break;
            case InfectionWindowClosed closed:
                PagesOf(closed.Window.Planting).Note(fact);
                break;
            case BudStageReached stage:
                PagesOf(stage.Planting).Note(fact);
                break;
            case InfectionSeasonClosed closed:
                PagesOf(closed.Planting).Note(fact);
                break;
            default: // What is left is a turn of a level, known from the intervals, or a call to act.
                break;
        }
    }

    /// <summary>A copy of what is known of a time.</summary>
    /// <param name="from">From when, UTC; cut where the almanac begins.</param>
    /// <param name="to">Until when, UTC; cut where the almanac ends.</param>
    /// <param name="running">The wet spell that runs now; <c>null</c>: none.</param>
    /// <param name="openNow">The windows that are open now, with their figures as they stand.</param>
    /// <param name="withHours">The hours are asked for; a season is told without them.</param>
    public AlmanacSlice Slice(
        DateTimeOffset from, DateTimeOffset to, WetSpell? running, IReadOnlyList<InfectionWindow> openNow, bool withHours = true)
    {
        // A day more on either side holds the local days of any zone.
        var first = DateOnly.FromDateTime(from.UtcDateTime);
        first = first > DateOnly.MinValue ? first.AddDays(-1) : first;
        from = from > Begins || Begins is null ? from.ToUniversalTime() : Begins.Value;
        // A window that opens with the end of the last interval opens at this very moment, and is there.
        var toTheEnd = to >= Ends;
        to = toTheEnd ? Ends : to.ToUniversalTime();
        var runs = running is { } spell && spell.Start < to && spell.End > from;
        return new AlmanacSlice(
            from,
            to,
            withHours ? _hours.Between(from, to) : [],
            [
                .. _days.Where(day =>
                    LocalDay.StartOf(day.Day, site.Zone) < to && LocalDay.StartOf(day.Day.AddDays(1), site.Zone) > from),
            ],
            _wetness.Between(from, to),
            [.. _missing.Between(from, to).Where(stretch => stretch.Value != Missing.None)],
            [.. _spells.Where(past => past.Start < to && past.End > from), .. runs ? [running!.Value] : Array.Empty<WetSpell>()],
            runs,
            [.. _doubts.Where(doubt => doubt.From < to && !(doubt.To <= from))],
            [
                .. _plantings.Select((pages, i) => pages.Slice(
                    site.Plantings[i].Id,
                    from,
                    first,
                    to,
                    toTheEnd,
                    [.. openNow.Where(window => window.Planting == site.Plantings[i].Id)])),
            ]);
    }

    private PlantingPages PagesOf(string planting)
    {
        for (var i = 0; i < _plantings.Length; i++)
        {
            if (site.Plantings[i].Id == planting)
                return _plantings[i];
        }

        throw new ArgumentException($"The site {site.Id} has no planting {planting}.", nameof(planting));
    }
}
