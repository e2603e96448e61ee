using System.Text.Json;
using BackyardSentinel.Weather;
using BackyardSentinel.Wording;

namespace BackyardSentinel.Sensors;

/// <summary>
/// Reads a sensor's own time: ISO-8601 with zone, or an epoch whose unit is told by its magnitude. Whole milliseconds,
/// because that is what the store keys readings by.
/// </summary>
public static class TimeReader
{
    /// <summary>Reads a time from a JSON value.</summary>
    /// <param name="value">A string or a number.</param>
    /// <param name="clock">The clock of a sensor whose times have no zone; <c>null</c>: such times are refused.</param>
    /// <param name="time">The moment, UTC.</param>
    /// <param name="reason">Why it could not be taken.</param>
    public static bool TryRead(JsonElement value, WallClock? clock, out DateTimeOffset time, out Sentence? reason)
    {
        time = default;
        if (value.ValueKind is not (JsonValueKind.String or JsonValueKind.Number))
        {
            reason = $"the time is neither text nor a number";
            return false;
        }

        return TryRead(value.ValueKind == JsonValueKind.String ? value.GetString()! : value.GetRawText(), clock, out time, out reason);
    }

    /// <summary>Reads a time from a text; one without a zone is refused.</summary>
    internal static bool TryRead(string text, out DateTimeOffset time, out Sentence? reason) => TryRead(text, null, out time, out reason);

    /// <summary>Reads a time from a text.</summary>
    internal static bool TryRead(string text, WallClock? clock, out DateTimeOffset time, out Sentence? reason)
    {
        if (NumberReader.Read(text) is { Outcome: NumberOutcome.Number } number)
            return TryEpoch(number.Value, out time, out reason);
        if (TryIso(text.Trim(), clock, out time, out reason))
            return true;
        reason ??= $"{NumberReader.Quoted(System.Text.Encoding.UTF8.GetBytes(text.Trim()))} is not an ISO-8601 time";
        return false;
    }

    /// <summary>The wall clock of a sensor that does not tell its zone.</summary>
    /// <param name="Zone">Its zone.</param>
    /// <param name="Near">
    /// When the message came: of the two moments of an hour that comes twice, the later one not ahead of it is meant.
    /// </param>
    public readonly record struct WallClock(TimeZoneInfo Zone, DateTimeOffset Near)
    {
        private static readonly TimeSpan Ahead = TimeSpan.FromMinutes(10);

        /// <summary>The moment, UTC; <c>null</c> in the hour that the clocks leave out.</summary>
        public DateTimeOffset? Moment(DateTime local) =>
            LocalClock.Moments(local, Zone) is not { } moments ? null : moments.Last <= Near + Ahead ? moments.Last : moments.First;
    }

    private static bool TryEpoch(double value, out DateTimeOffset time, out Sentence? reason)
    {
        // Seconds reach 1e11 in the year 5138, milliseconds fall below it only before 1973: the ranges do not meet.
        var milliseconds = Math.Abs(value) switch
        {
            < 1e11 => value * 1e3,
            < 1e14 => value,
            < 1e17 => value / 1e3,
            _ => value / 1e6,
        };
        time = default;
        reason = $"the time is out of range";
        if (milliseconds is < -6e13 or > 2e14)
            return false;
        time = DateTimeOffset.FromUnixTimeMilliseconds((long)Math.Round(milliseconds));
        reason = null;
        return true;
    }

    private static bool TryIso(string text, WallClock? clock, out DateTimeOffset time, out Sentence? reason)
    {
        // yyyy-MM-ddTHH:mm[:ss[.f…]] then Z, ±HH, ±HHMM or ±HH:MM. Read by hand: the framework's parser takes far more
        // shapes than these, and some of them mean different days in different places.
        time = default;
        reason = null;
        if (text.Length < 16 || text[4] != '-' || text[7] != '-' || text[10] is not ('T' or 't' or ' ') || text[13] != ':')
            return false;
        if (!Number(text, 0, 4, out var year) || !Number(text, 5, 2, out var month) || !Number(text, 8, 2, out var day)
            || !Number(text, 11, 2, out var hour) || !Number(text, 14, 2, out var minute)) return false;
        var at = 16;
        var second = 0;
        var millisecond = 0;
        if (at < text.Length && text[at] == ':')
        {
            if (!Number(text, at + 1, 2, out second))
                return false;
            at += 3;
            if (at < text.Length && text[at] is '.' or ',')
            {
                var start = ++at;
                while (at < text.Length && char.IsAsciiDigit(text[at])) at++;
                if (at == start)
                    return false;
                for (var i = 0; i < 3; i++) millisecond = millisecond * 10 + (start + i < at ? text[start + i] - '0' : 0);
            }
        }

        if (at == text.Length && clock is null)
        {
            reason = $"the time has no zone, so the moment it means is not known";
            return false;
        }

        var offset = TimeSpan.Zero;
        if (at < text.Length && !TryZone(text[at..], out offset))
            return false;
        if (year < 1 || month is < 1 or > 12 || day < 1 || day > DateTime.DaysInMonth(year, month)
            || hour > 23 || minute > 59 || second > 60) return false;
        var local = new DateTime(year, month, day, hour, minute, Math.Min(second, 59), millisecond, DateTimeKind.Utc);
        if (year is < 2 or > 9998)
            return false;
        if (at == text.Length)
        {
            reason = $"the time is left out where the clocks are put forward";
            if (clock!.Value.Moment(DateTime.SpecifyKind(local, DateTimeKind.Unspecified)) is not { } moment)
                return false;
            (time, reason) = (moment, null);
            return true;
        }

        time = new DateTimeOffset(local - offset, TimeSpan.Zero);
        reason = null;
        return true;
    }

    private static bool TryZone(string zone, out TimeSpan offset)
    {
        offset = TimeSpan.Zero;
        if (zone is "Z" or "z")
            return true;
        if (zone[0] is not ('+' or '-'))
            return false;
        var digits = zone[1..].Replace(":", "", StringComparison.Ordinal);
        var minutes = 0;
        if (digits.Length is not (2 or 4) || !Number(digits, 0, 2, out var hours))
            return false;
        if (digits.Length == 4 && !Number(digits, 2, 2, out minutes))
            return false;
        if (hours > 14 || minutes > 59)
            return false;
        offset = new TimeSpan(hours, minutes, 0) * (zone[0] == '-' ? -1 : 1);
        return true;
    }

    private static bool Number(string text, int from, int length, out int value)
    {
        value = 0;
        if (from + length > text.Length)
            return false;
        for (var i = from; i < from + length; i++)
        {
            if (!char.IsAsciiDigit(text[i]))
                return false;
            value = value * 10 + (text[i] - '0');
        }

        return true;
    }
}
