using System.Numerics;
using System.Text.RegularExpressions;

namespace BackyardSentinel.Tests.Sensors;

/// <summary>
/// An independent reader of numbers: a grammar written apart from the program's, and the value as an exact fraction of integers. It
/// shares nothing with the program or with the framework's parser.
/// </summary>
internal static partial class ExactDecimal
{
    /// <summary>The exact value of a text that is a number; <c>null</c>: it is none.</summary>
    public static (BigInteger Numerator, BigInteger Denominator)? Read(string text)
    {
        var match = Grammar().Match(text.Trim(' ', '\t', '\r', '\n', '\0'));
        if (!match.Success)
            return null;
        var (whole, part) = (match.Groups["whole"].Value, match.Groups["part"].Value);
        var digits = BigInteger.Zero;
        foreach (var c in whole + part)
            digits = (digits * 10) + (c - '0');
        var power = -part.Length;
        if (match.Groups["power"].Value is { Length: > 0 } written)
            power += (int)BigInteger.Clamp(
                BigInteger.Parse(written, NumberStyles.AllowLeadingSign, CultureInfo.InvariantCulture), -5000, 5000);
        if (match.Groups["sign"].Value == "-")
            digits = -digits;
        return power >= 0 ? (digits * BigInteger.Pow(10, power), 1) : (digits, BigInteger.Pow(10, -power));
    }

    /// <summary>Whether no other double lies nearer to the exact value; an infinite one stands for all beyond the largest.</summary>
    public static bool IsNearest(double value, (BigInteger Numerator, BigInteger Denominator) exact)
    {
        if (value == 0)
            return Compare(Halfway(0, double.Epsilon), Abs(exact)) >= 0;
        var (size, wanted) = (Math.Abs(value), Abs(exact));
        if (Math.Sign(value) != exact.Numerator.Sign)
            return false;
        var above = double.IsPositiveInfinity(size) ? default((BigInteger, BigInteger)?)
            : size == double.MaxValue ? Beyond
            : Halfway(size, double.BitIncrement(size));
        var below = double.IsPositiveInfinity(size) ? Beyond : Halfway(double.BitDecrement(size), size);
        return Compare(below, wanted) <= 0 && (above is not { } limit || Compare(wanted, limit) <= 0);
    }

    /// <summary>Halfway between the largest double and the next there would be: 2^1024 − 2^970.</summary>
    private static (BigInteger Numerator, BigInteger Denominator) Beyond => (BigInteger.Pow(2, 1024) - BigInteger.Pow(2, 970), 1);

    private static (BigInteger Numerator, BigInteger Denominator) Halfway(double low, double high)
    {
        var ((a, b), (c, d)) = (Fraction(low), Fraction(high));
        return ((a * d) + (c * b), 2 * b * d);
    }

    private static (BigInteger Numerator, BigInteger Denominator) Fraction(double value)
    {
        var bits = BitConverter.DoubleToInt64Bits(value);
        var exponent = (int)((bits >> 52) & 0x7FF);
        var mantissa = (bits & 0xFFFFFFFFFFFFF) | (exponent == 0 ? 0 : 1L << 52);
        var power = Math.Max(exponent, 1) - 1075;
        return power >= 0 ? (mantissa * BigInteger.Pow(2, power), 1) : (mantissa, BigInteger.Pow(2, -power));
    }

    private static (BigInteger Numerator, BigInteger Denominator) Abs((BigInteger Numerator, BigInteger Denominator) one) =>
        (BigInteger.Abs(one.Numerator), one.Denominator);

    private static int Compare((BigInteger Numerator, BigInteger Denominator) one, (BigInteger Numerator, BigInteger Denominator) other) =>
        (one.Numerator * other.Denominator).CompareTo(other.Numerator * one.Denominator);

    [GeneratedRegex(
        @"^(?<sign>[+-]?)(?:(?<whole>[0-9]+)(?:\.(?<part>[0-9]*))?|\.(?<part>[0-9]+))(?:[eE](?<power>[+-]?[0-9]+))?$",
        RegexOptions.CultureInvariant | RegexOptions.ExplicitCapture)]
    private static partial Regex Grammar();
}
