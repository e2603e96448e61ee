using BackyardSentinel.Sensors;

namespace BackyardSentinel.Tests.Sensors;

/// <summary>
/// A million seeded texts, a fifth under each of five cultures, against a reader that computes with exact fractions
/// (<see cref="ExactDecimal"/>): the same texts are numbers, and each is read as the double that lies nearest.
/// </summary>
public sealed class NumberReaderAgainstExactFractionsTests
{
    private const int Texts = 200_000;

    public static TheoryData<string> Cultures => ["plain", "comma", "arabic", "swiss", "words"];

    [Theory]
    [MemberData(nameof(Cultures))]
    public void Every_text_is_read_as_the_exact_reader_reads_it(string name)
    {
        var before = CultureInfo.CurrentCulture;
        CultureInfo.CurrentCulture = Culture(name);
        try
        {
            var random = new Random(name.Length + 20270301);
            for (var i = 0; i < Texts; i++)
                Check(Some(random));
        }
        finally
        {
            CultureInfo.CurrentCulture = before;
        }
    }

    [Theory]
    [InlineData("21,5")]
    [InlineData("2.2250738585072014e-308")]
    [InlineData("2.2250738585072011e-308")]
    [InlineData("4.9406564584124654e-324")]
    [InlineData("2.4703282292062327e-324")]
    [InlineData("1.7976931348623158e308")]
    [InlineData("1.7976931348623159e308")]
    [InlineData("179769313486231580793728971405301e276")]
    [InlineData("9007199254740993")]
    [InlineData("0.500000000000000166533453693773481063544750213623046875")]
    [InlineData("3.518437208883201171875e13")]
    [InlineData("62.5364939768271845828")]
    [InlineData("8.10109172351e-10")]
    [InlineData("1.50000000000000011102230246251565")]
    public void Known_hard_cases_are_read_as_the_exact_reader_reads_them(string text) => Check(text);

    private static void Check(string text)
    {
        var result = NumberReader.Read(text);
        var exact = ExactDecimal.Read(text);
        if (exact is not { } value)
            Assert.True(result.Outcome != NumberOutcome.Number, $"{text} was read as {result.Value:R}");
        else if (result.Outcome == NumberOutcome.Number)
            Assert.True(ExactDecimal.IsNearest(result.Value, value), $"{text} was read as {result.Value:R}");
        else
            Assert.True(
                text.Length > 128 || ExactDecimal.IsNearest(double.PositiveInfinity * value.Numerator.Sign, value),
                $"{text}: {result.Reason}");
        // A comma is never passed over.
        if (text.Contains(',', StringComparison.Ordinal))
            Assert.NotEqual(NumberOutcome.Number, result.Outcome);
    }

    /// <summary>A text that looks like a number more often than not, among them those halfway between two doubles.</summary>
    private static string Some(Random random)
    {
        switch (random.Next(8))
        {
            case 0:
                return BitConverter.Int64BitsToDouble(random.NextInt64()).ToString("R", CultureInfo.InvariantCulture);
            case 1:
                return string.Create(CultureInfo.InvariantCulture, $"{(random.NextDouble() - 0.5) * 200:0.0###}");
            case 2:
                return string.Create(CultureInfo.InvariantCulture, $"{random.NextInt64()}{random.NextInt64()}e{random.Next(-345, 330)}");
            case 3:
                return string.Create(CultureInfo.InvariantCulture, $"{random.Next(-999, 999)},{random.Next(0, 999)}");
            default:
                const string Letters = "0123456789012345678901234567890123456789+-..,eE xn\0٣−";
                StringBuilder text = new();
                for (var length = random.Next(1, 18); length > 0; length--)
                    text.Append(Letters[random.Next(Letters.Length)]);
                return text.ToString();
        }
    }

    /// <summary>The program knows no cultures, so they are made by hand: other marks, other signs, other digits.</summary>
    private static CultureInfo Culture(string name)
    {
        var culture = (CultureInfo)CultureInfo.InvariantCulture.Clone();
        var numbers = culture.NumberFormat;
        (numbers.NumberDecimalSeparator, numbers.NumberGroupSeparator) = name switch
        {
            "comma" => (",", "."),
            "arabic" => ("٫", "٬"),
            "swiss" => (".", "'"),
            "words" => ("e", "x"),
            _ => (".", ","),
        };
        if (name is "arabic")
            numbers.NativeDigits = [.. "٠١٢٣٤٥٦٧٨٩".Select(c => c.ToString())];
        if (name is "comma" or "words")
            (numbers.NegativeSign, numbers.PositiveSign) = ("−", "0");
        return culture;
    }
}
