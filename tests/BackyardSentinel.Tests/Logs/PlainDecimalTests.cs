namespace BackyardSentinel.Logs;

/// <summary>Checked against the .NET library, whose double.Parse rounds correctly as IEEE 754 asks.</summary>
public sealed class PlainDecimalTests
{
    [Fact]
    public void Every_plain_number_is_read_to_the_same_bits_as_the_library_reads_it()
    {
        var random = new Random(11);
        var read = 0;
        for (var i = 0; i < 200_000; i++)
        {
            var text = Some(random);
            if (!PlainDecimal.TryRead(text, out var value))
                continue;
            read++;
            var expected = double.Parse(text, NumberStyles.AllowLeadingSign | NumberStyles.AllowDecimalPoint, CultureInfo.InvariantCulture);
            Assert.True(
                BitConverter.DoubleToInt64Bits(expected) == BitConverter.DoubleToInt64Bits(value),
                string.Create(CultureInfo.InvariantCulture, $"\"{text}\" was read as {value:R}, the library reads {expected:R}"));
        }

        Assert.InRange(read, 100_000, 200_000);
    }

    [Theory]
    [InlineData("9.90", 9.90)]
    [InlineData("-0.05", -0.05)]
    [InlineData("5.", 5)]
    [InlineData(".5", 0.5)]
    [InlineData("99999999999999.", 99999999999999)]
    [InlineData("999999999999999", 999999999999999)]
    [InlineData("0.0000000000001", 1e-13)]
    public void Numbers_of_the_plain_form_are_read(string text, double expected)
    {
        Assert.True(PlainDecimal.TryRead(text, out var value));
        Assert.Equal(expected, value);
    }

    [Theory]
    [InlineData("")]
    [InlineData("-")]
    [InlineData(".")]
    [InlineData("-.")]
    [InlineData("1.2.3")]
    [InlineData("1-2")]
    [InlineData("--1")]
    [InlineData("+1")]
    [InlineData(" 1")]
    [InlineData("1 ")]
    [InlineData("1,5")]
    [InlineData("1e3")]
    [InlineData("NaN")]
    [InlineData("٣.٥")]
    [InlineData("1234567890123456")]
    public void All_else_is_left_to_the_library(string text) => Assert.False(PlainDecimal.TryRead(text, out _));

    [Fact]
    public void A_short_field_is_read_to_the_same_bits_without_a_loop()
    {
        var random = new Random(12);
        var read = 0;
        for (var i = 0; i < 300_000; i++)
        {
            var plain = Some(random);
            var text = Odd(random, plain[..Math.Min(plain.Length, random.Next(1, 9))]);
            var isPlain = PlainDecimal.TryRead(text, out var expected);
            var bytes = Encoding.Latin1.GetBytes(text);
            ulong field = 0;
            foreach (var letter in bytes)
                field = (field >> 8) | ((ulong)letter << 56);

            Assert.True(isPlain == PlainDecimal.TryReadShort(field, bytes.Length, out var value), text);
            if (!isPlain)
                continue;
            read++;
            Assert.True(BitConverter.DoubleToInt64Bits(expected) == BitConverter.DoubleToInt64Bits(value), text);
        }

        Assert.InRange(read, 100_000, 290_000);

        static string Odd(Random random, string text) => random.Next(4) > 0
            ? text
            : text.Remove(random.Next(text.Length), 1).Insert(0, ((char)random.Next(1, 256)).ToString());
    }

    private static string Some(Random random)
    {
        var digits = random.Next(1, 18);
        var text = new char[digits];
        for (var i = 0; i < digits; i++)
            text[i] = (char)('0' + random.Next(10));
        var point = random.Next(-1, digits + 1);
        var plain = new string(text);
        return (random.Next(2) == 0 ? "-" : "") + (point < 0 ? plain : plain.Insert(point, "."));
    }
}
