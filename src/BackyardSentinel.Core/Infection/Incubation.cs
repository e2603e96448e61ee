using BackyardSentinel.Weather;

namespace BackyardSentinel.Infection;

/// <summary>
/// The weeks between an infection window and the leaves that show it. Day 0 is the local day on which it opened.
/// Sources: days 20–27, extremes 9 and 33, Giosuè, Spada, Rossi, Carli and Ponti 2000, Eur. J. Plant Pathol. 106:563–571
/// (abstract); degree-days 240–290 above 0 °C, measured on fruit, Rossi, Bolognesi and Giosuè 2007, Phytopathology
/// 97:1625–1633 (abstract); no disease at 19 °C and above, Rossi, Bolognesi, Languasco and Giosuè 2006, Phytopathology
/// 96:155–163 (abstract).
/// </summary>
public sealed class Incubation(DateTimeOffset openedAt, DateOnly day0)
{
    /// <summary>First and last day on which curl may show.</summary>
    public const int FirstDay = 9, LastDay = 33;

    /// <summary>Days on which curl is likely to show.</summary>
    public const int LikelyFromDay = 20, LikelyToDay = 27;

    /// <summary>Degree-days above 0 °C after which curl is likely to show; measured on fruit.</summary>
    public const double DegreeDaysFrom = 240, DegreeDaysTo = 290;

    /// <summary>A day with a mean from this on speaks against disease, °C.</summary>
    public const double TooWarmC = 19;

    /// <summary>When the window opened, UTC.</summary>
    public DateTimeOffset OpenedAt { get; } = openedAt;

    /// <summary>First day on which curl may show: the first look is due.</summary>
    public DateOnly Possible { get; } = day0.AddDays(FirstDay);

    /// <summary>First likely day.</summary>
    public DateOnly LikelyFrom { get; } = day0.AddDays(LikelyFromDay);

    /// <summary>Last likely day.</summary>
    public DateOnly LikelyTo { get; } = day0.AddDays(LikelyToDay);

    /// <summary>Last day on which curl may show.</summary>
    public DateOnly Last { get; } = day0.AddDays(LastDay);

    /// <summary>Degree-days above 0 °C since the day after the window opened.</summary>
    public double DegreeDays { get; private set; }

    /// <summary>The day on which 240 degree-days were reached; <c>null</c> until then.</summary>
    public DateOnly? DegreeDaysFromOn { get; private set; }

    /// <summary>The day on which 290 degree-days were reached; <c>null</c> until then.</summary>
    public DateOnly? DegreeDaysToOn { get; private set; }

    /// <summary>A day with a mean of 19 °C or more came within the incubation: the disease may not develop.</summary>
    public bool MayNotDevelop { get; private set; }

    /// <summary>A local day is over.</summary>
    public void DayOver(in DayWeather day)
    {
        if (day.Day <= day0 || day.Day > Last || day.MeanC is not { } mean)
            return;
        DegreeDays += Math.Max(0, mean);
        if (DegreeDaysFromOn is null && LimitRounding.Rounded(DegreeDays) >= DegreeDaysFrom)
            DegreeDaysFromOn = day.Day;
        if (DegreeDaysToOn is null && LimitRounding.Rounded(DegreeDays) >= DegreeDaysTo)
            DegreeDaysToOn = day.Day;
        MayNotDevelop |= LimitRounding.Rounded(mean) >= TooWarmC;
    }
}
