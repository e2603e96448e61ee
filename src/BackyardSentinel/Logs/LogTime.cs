using System.Buffers.Binary;
using System.Globalization;
using System.Numerics;
using System.Runtime.CompilerServices;
using BackyardSentinel.Weather;

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
    private const int Length = 20; // 2027-02-01T06:00:00Z
    private const int HourLength = 14; // 2027-02-01T06:
    private (ulong Begin, ulong End) _hour;
    private long _hourTicks;
    private uint _date;
    private long _dateTicks;
    private long _previous = long.MinValue;

    /// <summary>The last text was a local time that the zone's clocks went over when they were put forward.</summary>
    public bool WasSkipped { get; private set; }

    /// <summary>Reads one time; <c>false</c> when it is none, or lies outside the years 1900–2199.</summary>
    public bool TryRead(ReadOnlySpan<char> text, out DateTimeOffset time)
    {
        WasSkipped = false;
        if (!TryReadUtc(text, out time) && !TryReadOther(text.Trim(), out time))
            return false;
        _previous = time.UtcTicks;
        return time.UtcTicks >= FirstTicks && time.UtcTicks < EndTicks;
    }

    /// <summary>
    /// Reads one time in the common form <c>2027-02-01T06:00:00Z</c>; <c>false</c> when it is in another, or none. Nearly all rows of a
    /// log have the hour of the row before, which is looked at no more.
    /// </summary>
    /// <param name="text">The text, UTF-8.</param>
    /// <param name="ticks">The time, UTC ticks.</param>
    internal bool TryReadPlain(ReadOnlySpan<byte> text, out long ticks)
    {
        ticks = 0;
        if (text.Length != Length)
            return false;
        var hour = (Eight(text, 0), Eight(text, HourLength - sizeof(ulong)));
        if (hour == _hour && TryReadInHour(Eight(text, Length - sizeof(ulong)), out var seconds))
        {
            ticks = _previous = _hourTicks + (seconds * TimeSpan.TicksPerSecond);
            return true;
        }

        if (!TryReadUtc(text, out var time) || time.UtcTicks is < FirstTicks or >= EndTicks)
            return false;
        ticks = _previous = time.UtcTicks;
        (_hour, _hourTicks) = (hour, ticks - (ticks % TimeSpan.TicksPerHour));
        return true;

        static ulong Eight(ReadOnlySpan<byte> text, int at) => BinaryPrimitives.ReadUInt64LittleEndian(text[at..]);
    }

    /// <summary>Reads minute and second.</summary>
    /// <param name="end">How the text ends, <c>6:00:00Z</c>, its first byte in the lowest place; the hour is not looked at.</param>
    /// <param name="seconds">Seconds of the hour.</param>
    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    private static bool TryReadInHour(ulong end, out long seconds)
    {
        // Of "0:00:00Z" the digits are left, and where it is otherwise marks stay: then a byte is not 0, above 9, or above 5.
        var digits = (end ^ 0x5A_30_30_3A_30_30_00_00) & 0xFF_FF_FF_FF_FF_FF_00_00;
        var marks = ((digits | (digits + 0x00_76_7A_00_76_7A_00_00)) & 0x80_80_80_80_80_80_80_80) | (digits & 0xFF_00_00_FF_00_00_00_00);
        seconds = (((Byte(2) * 10) + Byte(3)) * 60) + (Byte(5) * 10) + Byte(6);
        return marks == 0;

        long Byte(int at) => (byte)(digits >> (8 * at));
    }

    /// <summary>The common form, the day remembered from row to row.</summary>
    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    private bool TryReadUtc<T>(ReadOnlySpan<T> text, out DateTimeOffset time)
        where T : unmanaged, IBinaryInteger<T>
    {
        time = default;
        if (text.Length != Length || !Is(text[4], '-') || !Is(text[7], '-') || !Is(text[10], 'T') || !Is(text[13], ':')
            || !Is(text[16], ':') || !Is(text[19], 'Z'))
            return false;
        uint century = Pair(text, 0), year = Pair(text, 2), month = Pair(text, 5), day = Pair(text, 8);
        uint hour = Pair(text, 11), minute = Pair(text, 14), second = Pair(text, 17);
        if (century > 99 || year > 99 || hour > 23 || minute > 59 || second > 59)
            return false;
        var date = (((century * 100) + year) << 16) + (month << 8) + day;
        if (date != _date)
        {
            year += century * 100;
            if (year is < 1 || month is < 1 or > 12 || day < 1 || day > DateTime.DaysInMonth((int)year, (int)month))
                return false;
            (_date, _dateTicks) = (date, new DateTime((int)year, (int)month, (int)day).Ticks);
        }

        time = new DateTimeOffset(_dateTicks + ((((hour * 60) + minute) * 60) + second) * TimeSpan.TicksPerSecond, TimeSpan.Zero);
        return true;
    }

    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    private static bool Is<T>(T letter, char mark)
        where T : unmanaged, IBinaryInteger<T> => letter == T.CreateTruncating(mark);

    /// <summary>Two digits; more than 99 where one of them is none.</summary>
    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    private static uint Pair<T>(ReadOnlySpan<T> text, int at)
        where T : unmanaged, IBinaryInteger<T>
    {
        uint tens = uint.CreateTruncating(text[at]) - '0', ones = uint.CreateTruncating(text[at + 1]) - '0';
        return tens > 9 || ones > 9 ? 100 : (tens * 10) + ones;
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
        if (LocalClock.Moments(local, zone) is not { } moments)
        {
            WasSkipped = true;
            return false;
        }

        time = moments.First.UtcTicks > _previous ? moments.First : moments.Last;
        return true;
    }
}
