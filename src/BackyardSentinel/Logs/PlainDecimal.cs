using System.Numerics;
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
    /// <param name="text">The text.</param>
    /// <param name="value">The number.</param>
    public static bool TryRead(ReadOnlySpan<char> text, out double value) =>
        Read(text, '\0', out value) is var length && length > 0 && length == text.Length;

    /// <summary>Reads a field that may be the beginning of a text.</summary>
    /// <typeparam name="T">A byte of UTF-8 or a character.</typeparam>
    /// <param name="text">The text.</param>
    /// <param name="separator">What stands behind the field, unless the text ends with it.</param>
    /// <param name="value">The number; NaN for an empty field.</param>
    /// <returns>The field's length; -1: it is not of the plain form.</returns>
    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    internal static int Read<T>(ReadOnlySpan<T> text, T separator, out double value)
        where T : unmanaged, IBinaryInteger<T>
    {
        value = double.NaN;
        if (text.IsEmpty || text[0] == separator)
            return 0;
        var begin = text[0] == T.CreateTruncating('-') ? 1 : 0;
        var (at, marks, decimals, digits) = (begin, 0, 0, 0L);
        for (; at < text.Length && Digit(text[at]) is <= 9 and var digit; at++)
            digits = (digits * 10) + digit;
        if (at < text.Length && text[at] == T.CreateTruncating('.'))
        {
            marks = 1;
            var point = at++;
            for (; at < text.Length && Digit(text[at]) is <= 9 and var digit; at++)
                digits = (digits * 10) + digit;
            decimals = at - point - 1;
        }

        var length = at - begin;
        if (length == marks || length > MaxLength || (at < text.Length && text[at] != separator))
            return -1;
        value = digits / PowersOfTen[decimals];
        if (begin == 1)
            value = -value;
        return at;
    }

    private static uint Digit<T>(T letter)
        where T : unmanaged, IBinaryInteger<T> => uint.CreateTruncating(letter) - '0';
}
