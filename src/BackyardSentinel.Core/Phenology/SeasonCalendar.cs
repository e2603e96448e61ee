namespace BackyardSentinel.Phenology;

/// <summary>
/// Which season a day belongs to. North of the equator, and on it, seasons begin on 1 September and chill counts from
/// 1 November; south of it on 1 March and from 1 May.
/// </summary>
/// <remarks>1 November is the date from which the published needs count; 1 May is its mirror. The starts are assumed.</remarks>
public sealed class SeasonCalendar
{
    /// <summary>Days from the shortest day to the longest.</summary>
    private const int DaysLengthening = 182;

    private readonly double? _degrees;
    private readonly bool _south;

    /// <summary>Makes the calendar of a place.</summary>
    /// <param name="latitudeDeg">Latitude, −90 to 90 °, south negative; <c>null</c>: not known, and so no season is.</param>
    public SeasonCalendar(double? latitudeDeg)
    {
        if (latitudeDeg is { } latitude && !(latitude is >= -90 and <= 90))
            throw new ArgumentOutOfRangeException(nameof(latitudeDeg), latitudeDeg, "A latitude lies between -90 and 90 degrees.");
        (_degrees, IsKnown) = (latitudeDeg, latitudeDeg is not null);
        _south = latitudeDeg < 0;
    }

    /// <summary>Whether the latitude is known; without it no day has a season.</summary>
    public bool IsKnown { get; }

    /// <summary>The season of a local day; <c>null</c> where the latitude is not known.</summary>
    public Season? SeasonOf(DateOnly day)
    {
        if (!IsKnown)
            return null;
        var startMonth = _south ? 3 : 9;
        var startYear = day.Month >= startMonth ? day.Year : day.Year - 1;
        return new Season(
            _south ? startYear : startYear + 1,
            new DateOnly(startYear, startMonth, 1),
            new DateOnly(startYear, startMonth + 2, 1),
            new DateOnly(startYear + 1, startMonth, 1));
    }

    /// <summary>
    /// Length of a day that is longer than the one before it, h; <c>null</c> for one that is shorter, or where the latitude is not
    /// known.
    /// </summary>
    public double? LengtheningHours(DateOnly day)
    {
        if (
            _degrees is not { } deg
            || SeasonOf(day) is not { } season
            || day > LongestDay(season)
            || day < LongestDay(season).AddDays(-DaysLengthening))
            return null;
        return Weather.SunTimes.DayLengthHours(day.DayOfYear, deg);
    }

    /// <summary>The longest day of a season's spring, by the calendar: 21 June, in the south 21 December.</summary>
    public DateOnly LongestDay(Season season) => _south ? new DateOnly(season.Year, 12, 21) : new DateOnly(season.Year, 6, 21);
}
