namespace BackyardSentinel.Garden;

/// <summary>How sums and means are made ready for a comparison with a limit.</summary>
public static class LimitRounding
{
    /// <summary>Rounds to a millionth, so that equal decimal figures compare equal: fifteen tips of 0.2 mm are 3.0 mm.</summary>
    public static double Rounded(double value) => Math.Round(value, 6, MidpointRounding.AwayFromZero);
}
