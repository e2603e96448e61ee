namespace BackyardSentinel.Planning;

/// <summary>
/// Limits used where a label says nothing. The label always comes first. "Common practice" means that several garden and
/// extension texts say so without a study behind them.
/// </summary>
public static class SprayLimits
{
    // Exact by the international yard. Figures of sources in °F and mph stand as those, so that they are the same in both systems.
    private const double MsPerMph = 0.44704;

    /// <summary>Lowest temperature, °C: 40 °F, Kansas and Oklahoma State extension texts.</summary>
    public const double MinTemperatureC = (40 - 32) / 1.8;

    /// <summary>Highest temperature for sulfur of any kind, °C: 85 °F; from memory.</summary>
    public const double MaxSulfurTemperatureC = (85 - 32) / 1.8;

    /// <summary>Rain in an hour from which it counts, mm; below is drizzle that models trail along. Assumed.</summary>
    public const double RainMm = 0.1;

    /// <summary>Probability from which an hour counts as rainy, %. Assumed.</summary>
    public const double RainProbabilityPct = 50;

    /// <summary>Hours without rain before, at least, for bark to dry. Assumed.</summary>
    public const double DryBeforeH = 3;

    /// <summary>Hours without rain after, at least: 3–4 h for fungicides to dry, a weak source.</summary>
    public const double DryAfterH = 4;

    /// <summary>
    /// Hours without rain before and after that are better: 24 h, a garden column resting on University of California advice.
    /// </summary>
    public const double BetterDryH = 24;

    /// <summary>Hours without frost after: 24 h, fruit growers' advice on copper and oil.</summary>
    public const double FrostFreeAfterH = 24;

    /// <summary>Hours without frost before: 24 h, the shorter of the 24–48 h that the same advice waits after frost.</summary>
    public const double FrostFreeBeforeH = 24;

    /// <summary>At and below this air or wet-bulb temperature there is frost, °C.</summary>
    public const double FrostC = 0;

    /// <summary>At and below this frost is near, °C: garden sensors are off by half a degree and hang above the ground. Assumed.</summary>
    public const double FrostNearC = 2;

    /// <summary>Below this the wind is calm, m/s: 2 km/h, lower end of an Ontario spraying factsheet.</summary>
    public const double MinWindMs = 2 / 3.6;

    /// <summary>Below this the wind turns about, m/s: 3 mph, a United States pesticide stewardship text.</summary>
    public const double SteadyWindMs = 3 * MsPerMph;

    /// <summary>Above this drift is likely near sensitive places, m/s: 8 mph, the same text.</summary>
    public const double GentleWindMs = 8 * MsPerMph;

    /// <summary>Highest wind, m/s: 10 mph, at which, by the same text, many rules stop.</summary>
    public const double MaxWindMs = 10 * MsPerMph;

    /// <summary>
    /// Lowest Delta-T that is good, °C: spray drops dry slowly below; Australian advice. Only a warning, since most winter
    /// hours lie below it and slow drying matters less on bare wood.
    /// </summary>
    public const double GoodDeltaTMinC = 2;

    /// <summary>Highest Delta-T that is good, °C; the same advice.</summary>
    public const double GoodDeltaTMaxC = 8;

    /// <summary>Above this Delta-T drops dry in flight: stop, °C; Australian practice, from memory.</summary>
    public const double MaxDeltaTC = 10;

    /// <summary>Not while warmer than this and drier than <see cref="HotDryHumidityPct"/>, °C; the Ontario factsheet.</summary>
    public const double HotDryTemperatureC = 25;

    /// <summary>Not while drier than this and warmer than <see cref="HotDryTemperatureC"/>, %.</summary>
    public const double HotDryHumidityPct = 40;

    /// <summary>Hours before sunset and after sunrise in which an inversion is possible, h; middle of Australian advice of 1–2 h.</summary>
    public const double InversionMarginH = 1.5;

    /// <summary>From this wind on no inversion holds, m/s: 11 km/h, Australian advice.</summary>
    public const double InversionWindMs = 11 / 3.6;

    /// <summary>Elevation of the sun's centre at sunrise and sunset, degrees; NOAA, refraction and half the disc.</summary>
    public const double SunsetElevationDeg = -0.833;

    /// <summary>
    /// Where a site has no coordinates, hours of its standard time from which on it is light wherever stone fruit grows. Assumed.
    /// </summary>
    public const double FirstSureHour = 10;

    /// <summary>The end of those hours. Assumed.</summary>
    public const double LastSureHour = 15;
}
