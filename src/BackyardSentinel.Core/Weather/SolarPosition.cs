using static System.Math;

namespace BackyardSentinel.Weather;

/// <summary>
/// Where the sun stands at a moment, seen from the earth's centre. The equations are those of the solar calculator of the
/// US National Oceanic and Atmospheric Administration, which shortens Meeus, Astronomical Algorithms (1991); coefficients
/// from memory, checked against other almanacs. Good to about 0.01°, from 1900 to 2100 (from memory). The difference between
/// universal and dynamical time (about a minute) is left out.
/// </summary>
/// <param name="DeclinationDeg">Angle above the celestial equator, degrees; -23.5 to 23.5, north positive.</param>
/// <param name="EquationOfTimeMinutes">Sundial time less mean solar time, minutes; about -14 to 16.5.</param>
public readonly record struct SolarPosition(double DeclinationDeg, double EquationOfTimeMinutes)
{
    /// <summary>The position at a moment.</summary>
    /// <param name="at">The moment, any offset.</param>
    public static SolarPosition At(DateTimeOffset at)
    {
        var centuries = (at - new DateTimeOffset(2000, 1, 1, 12, 0, 0, TimeSpan.Zero)).TotalDays / 36525;
        var meanLongitude = Rad(280.46646 + (centuries * (36000.76983 + (centuries * 0.0003032))));
        var anomaly = Rad(357.52911 + (centuries * (35999.05029 - (0.0001537 * centuries))));
        var eccentricity = 0.016708634 - (centuries * (0.000042037 + (0.0000001267 * centuries)));
        var centreDeg = (Sin(anomaly) * (1.914602 - (centuries * (0.004817 + (0.000014 * centuries)))))
            + (Sin(2 * anomaly) * (0.019993 - (0.000101 * centuries))) + (Sin(3 * anomaly) * 0.000289);
        var node = Rad(125.04 - (1934.136 * centuries));
        var longitude = meanLongitude + Rad(centreDeg - 0.00569 - (0.00478 * Sin(node)));
        var meanObliquityDeg =
            23 + ((26 + ((21.448 - (centuries * (46.815 + (centuries * (0.00059 - (centuries * 0.001813)))))) / 60)) / 60);
        var obliquity = Rad(meanObliquityDeg + (0.00256 * Cos(node)));

        var y = Tan(obliquity / 2) * Tan(obliquity / 2);
        var equationOfTime = (y * Sin(2 * meanLongitude)) - (2 * eccentricity * Sin(anomaly))
            + (4 * eccentricity * y * Sin(anomaly) * Cos(2 * meanLongitude))
            - (0.5 * y * y * Sin(4 * meanLongitude)) - (1.25 * eccentricity * eccentricity * Sin(2 * anomaly));
        return new(Deg(Asin(Sin(obliquity) * Sin(longitude))), 4 * Deg(equationOfTime));
    }

    private static double Rad(double degrees) => degrees * PI / 180;

    private static double Deg(double radians) => radians * 180 / PI;
}
