namespace BackyardSentinel.Ingest;

/// <summary>
/// The fast path for the numbers that fill logs, such as <c>-12.34</c>: up to 15 digits with at most one point. Such a
/// number is a quotient of two integers that a double holds exactly, so one division rounds it correctly (Clinger 1990).
/// Everything else is left to the library.
/// </summary>
public static class PlainDecimal
{
    private static ReadOnlySpan<double> PowersOfTen =>
        [1, 1e1, 1e2, 1e3, 1e4, 1e5, 1e6, 1e7, 1e8, 1e9, 1e10, 1e11, 1e12, 1e13, 1e14, 1e15];

    /// <summary>Reads the number, or says that it is not of the plain form.</summary>
    public static bool TryRead(ReadOnlySpan<char> text, out double value)
    {
        value = 0;
        var at = text.Length > 0 && text[0] == '-' ? 1 : 0;
        if (text.Length - at is 0 or > 16)
            return false;

        long digits = 0;
        int count = 0, decimals = -1;
        for (var i = at; i < text.Length; i++)
        {
            var digit = (uint)(text[i] - '0');
            if (digit <= 9)
            {
                digits = (digits * 10) + digit;
                count++;
            }
            else if (text[i] == '.' && decimals < 0)
            {
                decimals = count;
            }
            else
            {
                return false;
            }
        }

        if (count is 0 or > 15)
            return false;
        value = decimals < 0 ? digits : digits / PowersOfTen[count - decimals];
        if (at == 1)
            value = -value;
        return true;
    }
}
