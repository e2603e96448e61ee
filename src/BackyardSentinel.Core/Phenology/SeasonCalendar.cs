namespace BackyardSentinel.Phenology;

/// <summary>
/// Which season a day belongs to. North of the equator, and on it, seasons begin on 1 September and chill counts from
/// 1 November; south of it on 1 March and from 1 May.
/// </summary>
/// <remarks>1 November is the date from which the published needs count; 1 May is its mirror. The starts are assumed.</remarks>
public sealed class SeasonCalendar
{
    private readonly bool south;

    /// <summary>Makes the calendar of a place.</summary>
    /// <param name="latitudeDeg">Latitude, −90 to 90 °, south negative; <c>null</c>: not known, and so no season is.</param>
    public SeasonCalendar(double? latitudeDeg)
    {
        if (latitudeDeg is { } latitude && !(latitude is >= -90 and <= 90))
            throw new ArgumentOutOfRangeException(nameof(latitudeDeg), latitudeDeg, "A latitude lies between -90 and 90 degrees.");
        IsKnown = latitudeDeg is not null;
        south = latitudeDeg < 0;
    }

    /// <summary>Whether the latitude is known; without it no day has a season.</summary>
    public bool IsKnown { get; }

    /// <summary>The season of a local day; <c>null</c> where the latitude is not known.</summary>
    public Season? SeasonOf(DateOnly day)
    {
        if (!IsKnown)
            return null;
        var startMonth = south ? 3 : 9;
        var startYear = day.Month >= startMonth ? day.Year : day.Year - 1;
        return new Season(
            south ? startYear : startYear + 1,
            new DateOnly(startYear, startMonth, 1),
            new DateOnly(startYear, startMonth + 2, 1),
            new DateOnly(startYear + 1, startMonth, 1));
    }
}
