using System.Runtime.CompilerServices;

namespace BackyardSentinel.Logs;

/// <summary>
/// The fast path for the numbers that fill logs, such as <c>-12.34</c>: up to 15 characters, digits with at most one point. Such a
/// number is a quotient of two integers that a double holds exactly, so one division rounds it correctly (Clinger 1990).
/// Everything else is left to the library.
/// </summary>
public static class PlainDecimal
{
    private static ReadOnlySpan<double> PowersOfTen =>
        [1, 1e1, 1e2, 1e3, 1e4, 1e5, 1e6, 1e7, 1e8, 1e9, 1e10, 1e11, 1e12, 1e13, 1e14];

    private const int MaxLength = 15;

    /// <summary>Reads the number, or says that it is not of the plain form.</summary>
    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    public static bool TryRead(ReadOnlySpan<char> text, out double value)
    {
        value = 0;
        var begin = text.Length > 0 && text[0] == '-' ? 1 : 0;
        if (text.Length - begin is 0 or > MaxLength)
            return false;

        long digits = 0;
        var at = begin;
        for (; at < text.Length && Digit(text[at]) is <= 9 and var digit; at++)
            digits = (digits * 10) + digit;
        var decimals = 0;
        if (at < text.Length)
        {
            if (text[at] != '.' || text.Length - begin == 1)
                return false;
            decimals = text.Length - ++at;
            for (; at < text.Length; at++)
            {
                if (Digit(text[at]) is not (<= 9 and var digit))
                    return false;
                digits = (digits * 10) + digit;
            }
        }

        value = digits / PowersOfTen[decimals];
        if (begin == 1)
            value = -value;
        return true;
    }

    private static uint Digit(char c) => (uint)(c - '0');
}
