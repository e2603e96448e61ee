using BackyardSentinel.Configuration;
using UnitsNet;
using Xunit;

namespace BackyardSentinel.Tests.Configuration;

public class AmountTextTests
{
    // The second opinion is the library UnitsNet, which has the factors from tables of its own.
    public static TheoryData<string, double> Amounts => new()
    {
        { "5 L", Volume.FromLiters(5).Liters },
        { "250 mL", Volume.FromMilliliters(250).Liters },
        { "2 gal", Volume.FromUsGallons(2).Liters },
        { "2.5 fl oz", Volume.FromUsOunces(2.5).Liters },
        { "4tbsp", Volume.FromUsTablespoons(4).Liters },
        { "7.5 g", Mass.FromGrams(7.5).Grams },
        { "1.25 kg", Mass.FromKilograms(1.25).Grams },
        { "3 oz", Mass.FromOunces(3).Grams },
        { "10 lb", Mass.FromPounds(10).Grams },
        { "2 ha", Area.FromHectares(2).SquareMeters },
        { "1 acre", Area.FromAcres(1).SquareMeters },
        { "5 km/h", Speed.FromKilometersPerHour(5).MetersPerSecond },
        { "8 mph", Speed.FromMilesPerHour(8).MetersPerSecond },
        { "40 °F", Temperature.FromDegreesFahrenheit(40).DegreesCelsius },
        { "-10 F", Temperature.FromDegreesFahrenheit(-10).DegreesCelsius },
        { "-3.5", -3.5 },
    };

    [Theory]
    [MemberData(nameof(Amounts))]
    public void An_amount_is_converted_as_the_units_library_converts_it(string text, double expected) =>
        Assert.Equal(1, AmountText.Parse(text)!.Value.Value / expected, 1e-8);

    // NIST Handbook 44, Appendix C: the exact values.
    [Theory]
    [InlineData("1 gal", 3.785411784)]
    [InlineData("1 fl oz", 0.0295735295625)]
    [InlineData("1 tbsp", 0.01478676478125)]
    [InlineData("1 oz", 28.349523125)]
    [InlineData("1 lb", 453.59237)]
    [InlineData("1 acre", 4046.8564224)]
    public void The_customary_units_have_their_exact_values(string text, double expected) =>
        Assert.Equal(expected, AmountText.Parse(text)!.Value.Value);

    [Theory]
    [InlineData("")]
    [InlineData("L")]
    [InlineData("5 litres of it")]
    [InlineData("2,5 L")]
    [InlineData("5 L 3")]
    [InlineData("1e3 L")]
    [InlineData("٣ L")]
    [InlineData("5 M/S")]
    public void What_is_no_amount_is_refused(string text) => Assert.Null(AmountText.Parse(text));

    [Fact]
    public void A_ratio_keeps_its_two_halves_apart()
    {
        Assert.Equal((new Amount(7.5, AmountKind.Mass), new Amount(1, AmountKind.Volume)), AmountText.ParseRatio("7.5 g/L"));
        Assert.Equal((new Amount(4000, AmountKind.Mass), new Amount(10_000, AmountKind.Area)), AmountText.ParseRatio("4 kg / ha"));
        Assert.Null(AmountText.ParseRatio("5 L"));
        Assert.Equal((new Amount(4535.9237, AmountKind.Mass), new Amount(378.5411784, AmountKind.Volume)), AmountText.ParseRatio("10 lb/100 gal"));
        Assert.Null(AmountText.ParseRatio("5 g/L/L"));
        Assert.Null(AmountText.ParseRatio("5 g/"));
    }
}
