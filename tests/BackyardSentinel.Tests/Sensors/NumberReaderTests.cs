using CsCheck;

namespace BackyardSentinel.Sensors;

public sealed class NumberReaderTests
{
    private static NumberResult Number(double value) => new(NumberOutcome.Number, value, null);

    [Theory]
    [InlineData("21.5", 21.5)]
    [InlineData(" 21.5\r\n\0", 21.5)]
    [InlineData("-0.5", -0.5)]
    [InlineData("+3", 3)]
    [InlineData(".5", 0.5)]
    [InlineData("5.", 5)]
    [InlineData("1e3", 1000)]
    [InlineData("2.5E-1", 0.25)]
    public void Plain_numbers_are_read(string text, double expected) =>
        Assert.Equal(Number(expected), NumberReader.Read(text));

    [Theory]
    [InlineData("21,5", "comma")]
    [InlineData("1.013,2", "guess")]
    [InlineData("1,013.2", "guess")]
    [InlineData("21.5 °C", "unit")]
    [InlineData("70.7F", "unit")]
    [InlineData("85%", "unit")]
    [InlineData("1e400", "range")]
    [InlineData("Infinity", "not a number")]
    [InlineData("0x1F", "hexadecimal")]
    [InlineData("1 2", "followed by")]
    [InlineData("--5", "not a number")]
    [InlineData("1e", "unit")]
    public void What_would_be_a_guess_is_refused_with_a_reason(string text, string because)
    {
        var result = NumberReader.Read(text);
        Assert.Equal(NumberOutcome.Refused, result.Outcome);
        Assert.Contains(because, result.Reason!.Text, StringComparison.Ordinal);
    }

    [Theory]
    [InlineData("")]
    [InlineData("  \0")]
    [InlineData("nan")]
    [InlineData("NaN")]
    [InlineData("null")]
    [InlineData("-")]
    [InlineData("--")]
    [InlineData("N/A")]
    [InlineData("unknown")]
    [InlineData("Unavailable")]
    [InlineData("offline")]
    public void Missing_markers_are_no_reading_and_no_error(string text) =>
        Assert.Equal(NumberOutcome.NoReading, NumberReader.Read(text).Outcome);

    [Fact]
    public void A_decimal_comma_counts_only_where_the_series_says_so()
    {
        Assert.Equal(21.5, NumberReader.Read("21,5", decimalComma: true).Value);
        Assert.Equal(21.5, NumberReader.Read("21.5", decimalComma: true).Value);
        Assert.Equal(NumberOutcome.Refused, NumberReader.Read("1.013", decimalComma: true).Outcome);
        Assert.Equal(NumberOutcome.Refused, NumberReader.Read("1,0,1", decimalComma: true).Outcome);
    }

    [Fact]
    public void Valid_numbers_read_as_the_framework_reads_them() =>
        Gen.Select(
                Gen.Int[0, 2]
                    .Select(i =>
                        i == 0 ? ""
                        : i == 1 ? "-"
                        : "+"),
                Gen.UInt,
                Gen.UInt[0, 999_999],
                Gen.Int[-30, 30],
                Gen.Bool)
            .Sample(
                (sign, whole, part, power, withPower) =>
                {
                    var text = FormattableString.Invariant($"{sign}{whole}.{part}{(withPower ? "e" + power : "")}");
                    return NumberReader.Read(text) == Number(double.Parse(text, NumberStyles.Float, CultureInfo.InvariantCulture));
                },
                iter: Rounds.Of(100_000));

    [Fact]
    public void Every_finite_double_survives_the_round_trip() =>
        Gen.Double.Where(double.IsFinite).Sample(
            value => NumberReader.Read(value.ToString("R", CultureInfo.InvariantCulture)).Value.Equals(value), iter: Rounds.Of(100_000));

    [Fact]
    public void Any_text_gives_an_answer_and_only_finite_numbers() =>
        Gen.String[Gen.Char["0123456789+-.,eE \0%naN°"], 0, 12].Sample(text =>
        {
            var result = NumberReader.Read(text);
            return double.IsFinite(result.Value) && (result.Outcome == NumberOutcome.Number) == (result.Reason is null);
        }, iter: Rounds.Of(100_000));

    [Fact]
    public void The_machines_culture_changes_nothing()
    {
        var before = CultureInfo.CurrentCulture;
        var comma = (CultureInfo)CultureInfo.InvariantCulture.Clone();
        comma.NumberFormat.NumberDecimalSeparator = ",";
        comma.NumberFormat.NumberGroupSeparator = ".";
        try
        {
            CultureInfo.CurrentCulture = comma;
            Assert.Equal(21.5, NumberReader.Read("21.5").Value);
            Assert.Equal(NumberOutcome.Refused, NumberReader.Read("21,5").Outcome);
        }
        finally
        {
            CultureInfo.CurrentCulture = before;
        }
    }
}
