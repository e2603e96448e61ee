using BackyardSentinel.Weather;

namespace BackyardSentinel.Infection;

/// <summary>
/// How far one planting's tissue can be infected as its season goes on: not before the leaf buds swell, fully until petal
/// fall, half from then on, and no more nine weeks after green tip or after a week of warm days.
/// Sources: susceptible for at least nine weeks from the first leaf tips, Giosuè, Spada, Rossi, Carli and Ponti 2000,
/// Eur. J. Plant Pathol. 106:563–571 (abstract); highest until petal fall, Rossi, Bolognesi, Languasco and Giosuè 2006,
/// Phytopathology 96:155–163 (abstract). The half and the warm week are common practice, no source.
/// </summary>
public sealed class SusceptibleSeason
{
    /// <summary>Days after green tip (BBCH 09) at which leaves have hardened.</summary>
    public const int DaysAfterGreenTip = 63;

    /// <summary>A day is warm when its highest temperature is above this, °C.</summary>
    public const double WarmAboveC = 22;

    /// <summary>So many warm days in a row past petal fall end the season.</summary>
    public const int WarmDays = 7;

    /// <summary>Factor after petal fall, 0–1.</summary>
    public const double DecliningFactor = 0.5;

    private DateOnly? swellOn, greenTipOn, petalFallOn;
    private int warmDays;

    /// <summary>The day from which tissue can no longer be infected this season; <c>null</c> while it can.</summary>
    public DateOnly? ClosedOn { get; private set; }

    /// <summary>A week of warm days closed it.</summary>
    public bool ClosedByWarmth { get; private set; }

    /// <summary>Why it closed, in a few words.</summary>
    public string? ClosedBecause { get; private set; }

    /// <summary>A stage was reached, by leaf or by flower buds.</summary>
    /// <param name="code">BBCH code.</param>
    /// <param name="on">The local day.</param>
    public void Reached(int code, DateOnly on)
    {
        if (code is 0 or 50)
            return;
        if (code < 90)
            swellOn ??= on;
        if (code is >= 9 and <= 49 or >= 57)
            greenTipOn ??= on;
        if (code is >= 69 and < 90)
            petalFallOn ??= on;
    }

    /// <summary>A local day is over.</summary>
    public void DayOver(in DayWeather day)
    {
        // A day without a maximum proves no warmth.
        warmDays = petalFallOn is { } fall && day.Day > fall && day.MaxC is { } max && LimitRounding.Rounded(max) > WarmAboveC ? warmDays + 1 : 0;
        if (ClosedOn is not null || petalFallOn is not { } fallen)
            return;
        if (warmDays >= WarmDays)
            Close(day.Day.AddDays(1), true, "a week of warm days since petal fall");
        else if (greenTipOn is { } tip && day.Day >= fallen && day.Day >= tip.AddDays(DaysAfterGreenTip - 1))
            Close(day.Day.AddDays(1), false, "nine weeks since green tip, and the petals are down");
    }

    /// <summary>The factor on a day, 0–1.</summary>
    public double FactorOn(DateOnly day)
    {
        if (ClosedOn <= day || swellOn is null || day < swellOn)
            return 0;
        return day > petalFallOn ? DecliningFactor : 1;
    }

    /// <summary>A new season begins: nothing has swollen yet.</summary>
    public void Begin()
    {
        (swellOn, greenTipOn, petalFallOn, ClosedOn, ClosedBecause) = (null, null, null, null, null);
        warmDays = 0;
    }

    private void Close(DateOnly on, bool byWarmth, string because) => (ClosedOn, ClosedByWarmth, ClosedBecause) = (on, byWarmth, because);
}
