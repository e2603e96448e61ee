using BackyardSentinel.Weather;
using BackyardSentinel.Wording;

namespace BackyardSentinel.Planning;

/// <summary>The sun over a site, for telling light from dark hours.</summary>
public static class Daylight
{
    /// <summary>
    /// A longitude that lies further from its zone's meridian cannot be meant, °: 3 h of sun. No zone in use is off by more.
    /// </summary>
    private const double FarthestDeg = 45;

    /// <summary>The longitude lies so far from the meridian of the zone's standard time that one of the two is wrong.</summary>
    /// <param name="longitudeDeg">Degrees east.</param>
    /// <param name="zone">The site's zone.</param>
    public static bool Contradicts(double longitudeDeg, TimeZoneInfo zone) =>
        Math.Abs(Math.IEEERemainder(longitudeDeg - ZoneDeg(zone), 360)) > FarthestDeg;

    /// <summary>
    /// Elevation of the sun, degrees, at a moment. Where longitude and zone contradict each other the lower of both suns
    /// counts, so that no hour is called light that is dark by the grower's clock.
    /// </summary>
    /// <param name="latitudeDeg">Degrees north.</param>
    /// <param name="longitudeDeg">Degrees east.</param>
    /// <param name="zone">The site's zone.</param>
    public static Func<DateTimeOffset, double> Over(double latitudeDeg, double longitudeDeg, TimeZoneInfo zone) =>
        Contradicts(longitudeDeg, zone)
            ? at => Math.Min(SunTimes.ElevationDeg(at, latitudeDeg, longitudeDeg), SunTimes.ElevationDeg(at, latitudeDeg, ZoneDeg(zone)))
            : at => SunTimes.ElevationDeg(at, latitudeDeg, longitudeDeg);

    /// <summary>What to do about such a contradiction, a sentence.</summary>
    /// <param name="longitudeDeg">Degrees east.</param>
    /// <param name="zone">The site's zone.</param>
    public static Sentence Contradiction(double longitudeDeg, TimeZoneInfo zone) =>
        $"The longitude {longitudeDeg} does not go with the zone {new Name(zone.Id)}: only hours that are light by both are named. "
            + $"West is negative; correct one of the two in the garden file.";

    private static double ZoneDeg(TimeZoneInfo zone) => zone.BaseUtcOffset.TotalHours * 15;
}
