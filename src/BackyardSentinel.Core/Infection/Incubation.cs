using BackyardSentinel.Garden;
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

    /// <summary>Days after the first leaves unfold (BBCH 11) before which there is nothing to look at. ASSUMED.</summary>
    public const int DaysAfterLeaves = 7;

    private DateOnly? _movedTo;
    private bool _firstLooked, _secondLooked;

    /// <summary>When the window opened, UTC.</summary>
    public DateTimeOffset OpenedAt { get; } = openedAt;

    /// <summary>There is no leaf yet on which curl could show; the days below move on with each day.</summary>
    public bool AwaitsLeaves { get; private set; }

    private DateOnly Day0 => _movedTo ?? day0;

    /// <summary>First day on which curl may show: the first look is due from then on.</summary>
    public DateOnly Possible => Day0.AddDays(FirstDay);

    /// <summary>First likely day: the first look is due by then, the second from then on.</summary>
    public DateOnly LikelyFrom => Day0.AddDays(LikelyFromDay);

    /// <summary>Last likely day: the second look is due by then.</summary>
    public DateOnly LikelyTo => Day0.AddDays(LikelyToDay);

    /// <summary>Last day on which curl may show.</summary>
    public DateOnly Last => Day0.AddDays(LastDay);

    /// <summary>A look waits for the last day that suits: one falls due on this day.</summary>
    public bool IsDueOn(DateOnly day) => !AwaitsLeaves && ((!_firstLooked && day >= LikelyFrom) || (!_secondLooked && day >= LikelyTo));

    /// <summary>The tree is looked at, or the grower has looked: that serves one of the two looks, if it suits.</summary>
    public void LookedOn(DateOnly day)
    {
        if (AwaitsLeaves || day < Possible)
            return;
        if (!_firstLooked && day <= LikelyFrom)
            _firstLooked = true;
        else
            (_firstLooked, _secondLooked) = (true, _secondLooked || day >= LikelyFrom);
    }

    /// <summary>
    /// When the first leaves unfold: no leaf, no curl to see, so where leaves are late the days move on. Where there are none yet, as
    /// if there were tomorrow.
    /// </summary>
    /// <param name="leavesOn">The expected day of BBCH 11; <c>null</c>: not yet.</param>
    /// <param name="today">The day that begins.</param>
    public void LeavesUnfold(DateOnly? leavesOn, DateOnly today)
    {
        AwaitsLeaves = leavesOn is null;
        if (!_firstLooked)
            _movedTo = CountedFrom(day0, leavesOn ?? today.AddDays(1));
    }

    /// <summary>The day from which a window's days are counted: its own, or a later one where the leaves came late.</summary>
    /// <param name="day0">The local day on which it opened.</param>
    /// <param name="leavesOn">The day of BBCH 11.</param>
    public static DateOnly CountedFrom(DateOnly day0, DateOnly leavesOn) =>
        leavesOn.AddDays(DaysAfterLeaves - FirstDay) is var moved && moved > day0 ? moved : day0;

    /// <summary>A day is one on which curl of a window can show.</summary>
    /// <param name="day">The day's number.</param>
    /// <param name="countedFrom">The number of the day from which the window's days are counted.</param>
    internal static bool Shows(int day, int countedFrom) => day - countedFrom is >= FirstDay and <= LastDay;

    /// <summary>Curl that was not there on a day can have come out by another, of a window.</summary>
    /// <param name="sight">The number of the day on which it was found.</param>
    /// <param name="cleanOn">That of the look before, which found none; <c>null</c>: nobody had looked.</param>
    /// <param name="countedFrom">The number of the day from which the window's days are counted.</param>
    internal static bool CanHaveCome(int sight, int? cleanOn, int countedFrom) =>
        sight - countedFrom >= FirstDay && !(countedFrom + LastDay <= cleanOn);

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
