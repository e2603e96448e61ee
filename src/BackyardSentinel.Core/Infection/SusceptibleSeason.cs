using BackyardSentinel.Garden;
using BackyardSentinel.Weather;

namespace BackyardSentinel.Infection;

/// <summary>
/// How far one planting's tissue can be infected once its leaf buds may be open: fully until petal fall, half from then on,
/// and no more nine weeks after green tip, after a week of warm days, or three weeks past the longest day. All of this lowers
/// the guard, so it goes by the latest tree that the needs allow.
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

    /// <summary>Days after the longest day at which every season is over; three weeks, assumed.</summary>
    public const int DaysPastLongestDay = 21;

    /// <summary>Leaves do not harden before days are so long, h: an autumn note cannot close a spring.</summary>
    public const double LeastDayHours = 12;

    private int _warmDays;

    /// <summary>The day from which tissue can no longer be infected this season; <c>null</c> while it can.</summary>
    public DateOnly? ClosedOn { get; private set; }

    /// <summary>A week of warm days closed it.</summary>
    public bool ClosedByWarmth { get; private set; }

    /// <summary>Why it closed, in a few words.</summary>
    public string? ClosedBecause { get; private set; }

    /// <summary>A local day is over.</summary>
    /// <param name="day">The day.</param>
    /// <param name="greenTipOn">The day on which leaf tips were green even on the latest tree; <c>null</c>: not yet.</param>
    /// <param name="petalFallOn">The day on which the petals were down even on the latest tree; <c>null</c>: not yet.</param>
    /// <param name="longestDay">The longest day of the season; <c>null</c>: not known.</param>
    /// <param name="dayHours">Length of the day where days lengthen, h; <c>null</c>: they shorten, or it is not known.</param>
    public void DayOver(in DayWeather day, DateOnly? greenTipOn, DateOnly? petalFallOn, DateOnly? longestDay, double? dayHours)
    {
        // A day without a maximum proves no warmth.
        _warmDays = day.Day > petalFallOn && day.MaxC is { } max && LimitRounding.Rounded(max) > WarmAboveC ? _warmDays + 1 : 0;
        if (ClosedOn is not null)
            return;
        var tomorrow = day.Day.AddDays(1);
        if (_warmDays >= WarmDays)
            Close(tomorrow, true, "a week of warm days since petal fall");
        else if (tomorrow >= greenTipOn?.AddDays(DaysAfterGreenTip) && day.Day >= petalFallOn && !(dayHours < LeastDayHours))
            Close(tomorrow, false, "nine weeks since green tip, and the petals are down");
        else if (IsOver(tomorrow, longestDay))
            Close(tomorrow, false, "three weeks past the longest day");
    }

    /// <summary>The factor on a day, 0–1, of tissue whose buds are not shut.</summary>
    /// <param name="day">The local day.</param>
    /// <param name="petalFallOn">The day on which the petals were down even on the latest tree; <c>null</c>: not yet.</param>
    public double FactorOn(DateOnly day, DateOnly? petalFallOn) => ClosedOn <= day ? 0 : day > petalFallOn ? DecliningFactor : 1;

    /// <summary>Whether on this day every season is over.</summary>
    /// <param name="day">The local day.</param>
    /// <param name="longestDay">The longest day of the season; <c>null</c>: not known.</param>
    public static bool IsOver(DateOnly day, DateOnly? longestDay) => day >= longestDay?.AddDays(DaysPastLongestDay);

    /// <summary>A new season begins: nothing has swollen yet.</summary>
    public void Begin()
    {
        (ClosedOn, ClosedBecause, ClosedByWarmth) = (null, null, false);
        _warmDays = 0;
    }

    private void Close(DateOnly on, bool byWarmth, string because) => (ClosedOn, ClosedByWarmth, ClosedBecause) = (on, byWarmth, because);
}
