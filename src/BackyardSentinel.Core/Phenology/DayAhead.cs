using BackyardSentinel.Weather;

namespace BackyardSentinel.Phenology;

/// <summary>The local day of an hour that is looked ahead to, and what holds on it: asked for once a day, not once an hour.</summary>
/// <param name="zone">The site's time zone.</param>
/// <param name="season">The season that is looked through; <c>null</c> without a calendar.</param>
/// <param name="calendar">The calendar of the place.</param>
internal sealed class DayAhead(TimeZoneInfo zone, Season? season, SeasonCalendar calendar)
{
    private DateTimeOffset _end = DateTimeOffset.MinValue;

    /// <summary>The local day.</summary>
    public DateOnly Day { get; private set; }

    /// <summary>Chill counts on it.</summary>
    public bool ChillCounts { get; private set; }

    /// <summary>Its length where days lengthen, h.</summary>
    public double? LengtheningHours { get; private set; }

    /// <summary>A day outside the season has come.</summary>
    public bool IsOutOfSeason { get; private set; }

    /// <summary>Goes to an hour's day; hours come in order.</summary>
    /// <param name="at">The hour's start.</param>
    public void GoTo(DateTimeOffset at)
    {
        if (at < _end)
            return;
        (Day, _end) = (LocalDay.Of(at, zone), LocalDay.EndOf(at, zone));
        ChillCounts = season is { } s && Day >= s.ChillFrom;
        LengtheningHours = calendar.LengtheningHours(Day);
        IsOutOfSeason |= season is { } looked && !looked.Contains(Day);
    }
}
