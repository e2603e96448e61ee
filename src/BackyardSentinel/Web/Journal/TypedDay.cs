using System.Globalization;
using BackyardSentinel.Configuration;
using BackyardSentinel.Units;

namespace BackyardSentinel.Web.Journal;

/// <summary>Days as they are typed with a thumb: 28/2, 28/2/2027, 28.2., and in a garden of US units 2/28.</summary>
internal static class TypedDay
{
    /// <summary>The next leap day may be eight years off.</summary>
    private const int YearsBack = 8;

    /// <summary>Reads a day; <c>null</c>: it is none. One without a year is the last such day up to today.</summary>
    /// <param name="text">The text.</param>
    /// <param name="units">The garden's units.</param>
    /// <param name="today">Today at the site.</param>
    public static DateOnly? Of(string text, UnitSystem units, DateOnly today)
    {
        if (JournalAmounts.Day(text, units, out _) is { } whole)
            return whole;
        var mark = text.Contains('/', StringComparison.Ordinal) ? '/' : '.';
        var parts = text.TrimEnd('.').Split(mark, StringSplitOptions.TrimEntries);
        if (parts.Length is not (2 or 3) || !(Whole(parts[0]) is { } first && Whole(parts[1]) is { } second))
            return null;
        var (day, month) = mark == '/' && units == UnitSystem.Us ? (second, first) : (first, second);
        if (parts.Length == 3)
            return parts[2].Length == 4 && Whole(parts[2]) is { } year ? Made(year, month, day) : null;
        return Enumerable.Range(0, YearsBack + 1).Select(back => Made(today.Year - back, month, day)).FirstOrDefault(made => made <= today);
    }

    /// <summary>A day as it is typed here.</summary>
    /// <param name="day">The day.</param>
    /// <param name="units">The garden's units.</param>
    /// <param name="withYear">With its year.</param>
    public static string Written(DateOnly day, UnitSystem units, bool withYear) => string.Create(
        CultureInfo.InvariantCulture,
        $"{(units == UnitSystem.Us ? $"{day.Month}/{day.Day}" : $"{day.Day}/{day.Month}")}{(withYear ? $"/{day.Year}" : "")}");

    private static int? Whole(string text) => int.TryParse(text, NumberStyles.None, CultureInfo.InvariantCulture, out var number)
        ? number
        : null;

    private static DateOnly? Made(int year, int month, int day) =>
        year is > 0 and <= 9999 && month is >= 1 and <= 12 && day >= 1 && day <= DateTime.DaysInMonth(year, month)
            ? new DateOnly(year, month, day)
            : null;
}
