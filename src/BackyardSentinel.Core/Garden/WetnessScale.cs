namespace BackyardSentinel.Garden;

/// <summary>
/// How a leaf-wetness sensor's own scale is read, with two limits so that a reading trembling about one of them does not
/// switch leaves on and off. Upright: wet at and above <see cref="On"/>, dry below <see cref="Off"/>. Inverted, as with a
/// grid whose resistance falls when wet: wet at and below <see cref="On"/>, dry above <see cref="Off"/>. Between the two
/// the state stays. Limits are in the sensor's unit. Frozen leaves are not told apart here: look at the temperature.
/// </summary>
public readonly record struct WetnessScale
{
    /// <summary>Builds a scale; throws <see cref="ArgumentOutOfRangeException"/> for limits that are not numbers or crossed.</summary>
    /// <param name="on">Limit at which the leaf becomes wet.</param>
    /// <param name="off">Limit beyond which it is dry: not above <paramref name="on"/>, or not below it when inverted.</param>
    /// <param name="inverted">Whether lower values mean wetter.</param>
    public WetnessScale(double on, double off, bool inverted = false)
    {
        if (!double.IsFinite(on))
            throw new ArgumentOutOfRangeException(nameof(on), on, "A wetness limit must be a number.");
        if (!double.IsFinite(off))
            throw new ArgumentOutOfRangeException(nameof(off), off, "A wetness limit must be a number.");
        if (inverted ? off < on : off > on)
            throw new ArgumentOutOfRangeException(nameof(off), off, $"The dry limit lies on the wet side of {on}.");

        (On, Off, Inverted) = (on, off, inverted);
    }

    /// <summary>
    /// For a sensor that tells for how much of the time since its last word the leaf was wet, 0 to 100. Nothing is a limit
    /// there; the time that follows is taken to be wet in the same share.
    /// </summary>
    public static WetnessScale ShareOfTime { get; } = new(1, 1) { IsShare = true };

    /// <summary>Limit at which the leaf becomes wet, in the sensor's unit.</summary>
    public double On { get; }

    /// <summary>Limit beyond which the leaf is dry, in the sensor's unit.</summary>
    public double Off { get; }

    /// <summary>Whether lower values mean wetter.</summary>
    public bool Inverted { get; }

    /// <summary>The value is the wet share of the time, 0 to 100.</summary>
    public bool IsShare { get; private init; }

    /// <summary>For how much of the time after this value the leaf is wet, 0 to 1.</summary>
    /// <param name="raw">The sensor's value, in its own unit; NaN throws <see cref="ArgumentOutOfRangeException"/>.</param>
    /// <param name="wasWet">The state before.</param>
    public double WetShare(double raw, bool wasWet) =>
        IsShare ? Math.Clamp(raw / 100, 0, 1)
        : IsWet(raw, wasWet) ? 1
        : 0;

    /// <summary>Whether the leaf is wet after this value.</summary>
    /// <param name="raw">The sensor's value, in its own unit; NaN throws <see cref="ArgumentOutOfRangeException"/>.</param>
    /// <param name="wasWet">The state before.</param>
    public bool IsWet(double raw, bool wasWet)
    {
        if (double.IsNaN(raw))
            throw new ArgumentOutOfRangeException(nameof(raw), raw, "A sensor value must be a number.");
        if (Inverted ? raw <= On : raw >= On)
            return true;
        // At the dry limit itself the state still stays.
        return wasWet && (Inverted ? raw <= Off : raw >= Off);
    }
}
