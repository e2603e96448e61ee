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

    /// <summary>
    /// Reads a field of one to eight bytes without a loop, as nearly all are: all its digits are looked at, and added up, at once.
    /// </summary>
    /// <param name="text">The field, its last byte in the highest place; zeros stand before it.</param>
    /// <param name="length">How many bytes it has.</param>
    /// <param name="value">The number.</param>
    /// <returns><c>false</c>: it is not of the plain form.</returns>
    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    public static bool TryReadShort(ulong text, int length, out double value)
    {
        value = 0;
        var before = 64 - (length * 8);
        var digits = text ^ (0x3030303030303030UL << before);
        var isNegative = (byte)(text >> before) == '-';
        if (isNegative)
        {
            digits &= ~(0xFFUL << before);
            length--;
        }

        // The highest bit of each byte that is no digit: of a point, and of nothing else.
        var marks = (((digits & 0x7F7F7F7F7F7F7F7F) + 0x7676767676767676) | digits) & 0x8080808080808080;
        var decimals = 0;
        if (marks != 0)
        {
            var point = BitOperations.TrailingZeroCount(marks) & 0x38;
            if ((byte)(digits >> point) != ('.' ^ '0') || (marks & (marks - 1)) != 0)
                return false;
            decimals = (56 - point) >> 3;
            var whole = digits & ((1UL << point) - 1);
            digits = (digits & (~0xFFUL << point)) | (whole << 8);
            length--;
        }

        if (length <= 0)
            return false;
        // Pairs of digits in every other byte; of them the first and third, and the second and fourth, times their powers of ten.
        digits = (digits * 10) + (digits >> 8);
        const ulong Pairs = 0x000000FF_000000FF;
        var sum = ((digits & Pairs) * (100 + (1_000_000UL << 32))) + (((digits >> 16) & Pairs) * (1 + (10_000UL << 32)));
        value = (uint)(sum >> 32) / PowersOfTen[decimals];
        if (isNegative)
            value = -value;
        return true;
    }

    private static uint Digit<T>(T letter)
        where T : unmanaged, IBinaryInteger<T> => uint.CreateTruncating(letter) - '0';
}
