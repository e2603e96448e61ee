using System.Globalization;

namespace BackyardSentinel.Logs;

/// <summary>Reads the times of a log: ISO 8601 with or without a zone, or Unix seconds or milliseconds.</summary>
public sealed class LogTime(TimeZoneInfo zone, string? pattern = null)
{
    private static readonly string[] LocalForms =
    [
        "yyyy-MM-dd'T'HH:mm:ss", "yyyy-MM-dd HH:mm:ss", "yyyy-MM-dd'T'HH:mm", "yyyy-MM-dd HH:mm",
        "yyyy-MM-dd'T'HH:mm:ss.FFFFFFF", "yyyy-MM-dd HH:mm:ss.FFFFFFF",
    ];

    private static readonly string[] OffsetForms =
    [
        "yyyy-MM-dd'T'HH:mm:ssK", "yyyy-MM-dd HH:mm:ssK", "yyyy-MM-dd'T'HH:mmK", "yyyy-MM-dd HH:mmK",
        "yyyy-MM-dd'T'HH:mm:ss.FFFFFFFK", "yyyy-MM-dd HH:mm:ss.FFFFFFFK",
    ];

    private const long FirstTicks = 599_266_080_000_000_000, EndTicks = 693_937_152_000_000_000; // 1900-01-01, 2200-01-01
    private readonly char[] _day = new char[10];
    private long _dayTicks = -1;
    private DateTimeOffset _previous = DateTimeOffset.MinValue;

    /// <summary>The last text was a local time that the zone's clocks went over when they were put forward.</summary>
    public bool WasSkipped { get; private set; }

    /// <summary>Reads one time; <c>false</c> when it is none, or lies outside the years 1900–2199.</summary>
    public bool TryRead(ReadOnlySpan<char> text, out DateTimeOffset time)
    {
        WasSkipped = false;
        if (!TryReadUtc(text, out time) && !TryReadOther(text.Trim(), out time))
            return false;
        _previous = time;
        return time.UtcTicks >= FirstTicks && time.UtcTicks < EndTicks;
    }

    /// <summary>The common form <c>2027-02-01T06:00:00Z</c>, the day remembered from row to row.</summary>
    private bool TryReadUtc(ReadOnlySpan<char> text, out DateTimeOffset time)
    {
        time = default;
        if (text.Length != 20 || text[19] != 'Z' || text[10] != 'T' || text[13] != ':' || text[16] != ':')
            return false;
        if (!text[..10].SequenceEqual(_day))
        {
            if (!DateTime.TryParseExact(text[..10], "yyyy-MM-dd", CultureInfo.InvariantCulture, DateTimeStyles.None, out var date))
                return false;
            text[..10].CopyTo(_day);
            _dayTicks = date.Ticks;
        }

        int hour = Pair(text, 11), minute = Pair(text, 14), second = Pair(text, 17);
        if (hour is < 0 or > 23 || minute is < 0 or > 59 || second is < 0 or > 59)
            return false;
        time = new DateTimeOffset(_dayTicks + ((hour * 3600L) + (minute * 60) + second) * TimeSpan.TicksPerSecond, TimeSpan.Zero);
        return true;
    }

    private static int Pair(ReadOnlySpan<char> text, int at)
    {
        int tens = text[at] - '0', ones = text[at + 1] - '0';
        return (uint)tens > 9 || (uint)ones > 9 ? -1 : (tens * 10) + ones;
    }

    private bool TryReadOther(ReadOnlySpan<char> text, out DateTimeOffset time)
    {
        var culture = CultureInfo.InvariantCulture;
        if (pattern is not null && DateTime.TryParseExact(text, pattern, culture, DateTimeStyles.None, out var written))
            return TryPlace(written, out time);
        if (DateTime.TryParseExact(text, LocalForms, culture, DateTimeStyles.None, out var local))
            return TryPlace(local, out time);
        if (DateTimeOffset.TryParseExact(text, OffsetForms, culture, DateTimeStyles.None, out time))
        {
            time = time.ToUniversalTime();
            return true;
        }

        return TryReadUnix(text, out time);
    }

    private static bool TryReadUnix(ReadOnlySpan<char> text, out DateTimeOffset time)
    {
        time = default;
        if (!long.TryParse(text, NumberStyles.None, CultureInfo.InvariantCulture, out var unix) || text.Length is < 9 or > 13)
            return false;
        time = text.Length >= 12 ? DateTimeOffset.FromUnixTimeMilliseconds(unix) : DateTimeOffset.FromUnixTimeSeconds(unix);
        return true;
    }

    /// <summary>
    /// Gives a local time its zone. Of the hour that comes twice in autumn the second is taken once the first has passed.
    /// </summary>
    private bool TryPlace(DateTime local, out DateTimeOffset time)
    {
        time = default;
        // The years taken leave room for any zone's offset.
        if (local.Year is < 1899 or > 2200)
            return false;
        WasSkipped = zone.IsInvalidTime(local);
        if (WasSkipped)
            return false;
        if (!zone.IsAmbiguousTime(local))
        {
            time = new DateTimeOffset(local, zone.GetUtcOffset(local)).ToUniversalTime();
            return true;
        }

        var offsets = zone.GetAmbiguousTimeOffsets(local);
        time = new DateTimeOffset(local, offsets.Max()).ToUniversalTime();
        if (time <= _previous)
            time = new DateTimeOffset(local, offsets.Min()).ToUniversalTime();
        return true;
    }
}
