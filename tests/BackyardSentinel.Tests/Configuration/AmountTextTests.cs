using BackyardSentinel.Configuration.Reading;
using UnitsNet;
using Dimension = BackyardSentinel.Units.Dimension;
using Unit = BackyardSentinel.Units.Unit;

namespace BackyardSentinel.Tests.Configuration;

public class AmountTextTests
{
    // The second opinion is the library UnitsNet, which has the factors from tables of its own.
    public static TheoryData<string, Dimension, double> Amounts => new()
    {
        { "5 L", Dimension.Volume, Volume.FromLiters(5).Liters },
        { "5 litres", Dimension.Volume, Volume.FromLiters(5).Liters },
        { "250 mL", Dimension.Volume, Volume.FromMilliliters(250).Liters },
        { "2 gal", Dimension.Volume, Volume.FromUsGallons(2).Liters },
        { "1 gallon", Dimension.Volume, Volume.FromUsGallons(1).Liters },
        { "1 1/2 gallons", Dimension.Volume, Volume.FromUsGallons(1.5).Liters },
        { "3/4 cup", Dimension.Volume, Volume.FromUsCustomaryCups(0.75).Liters },
        { "3 qt", Dimension.Volume, Volume.FromUsQuarts(3).Liters },
        { "1 pint", Dimension.Volume, Volume.FromUsPints(1).Liters },
        { "2.5 fl oz", Dimension.Volume, Volume.FromUsOunces(2.5).Liters },
        { "4tbsp", Dimension.Volume, Volume.FromUsTablespoons(4).Liters },
        { "4 Tbsp", Dimension.Volume, Volume.FromUsTablespoons(4).Liters },
        { "2 teaspoons", Dimension.Volume, Volume.FromUsTeaspoons(2).Liters },
        { "7.5 g", Dimension.Mass, Mass.FromGrams(7.5).Grams },
        { "1.25 kg", Dimension.Mass, Mass.FromKilograms(1.25).Grams },
        { "3 oz", Dimension.Mass, Mass.FromOunces(3).Grams },
        { "10 lbs", Dimension.Mass, Mass.FromPounds(10).Grams },
        { "2 ha", Dimension.Area, Area.FromHectares(2).SquareMeters },
        { "1 acre", Dimension.Area, Area.FromAcres(1).SquareMeters },
        { "300 sq ft", Dimension.Area, Area.FromSquareFeet(300).SquareMeters },
        { "300 ft2", Dimension.Area, Area.FromSquareFeet(300).SquareMeters },
        { "5 km/h", Dimension.Speed, Speed.FromKilometersPerHour(5).MetersPerSecond },
        { "8 mph", Dimension.Speed, Speed.FromMilesPerHour(8).MetersPerSecond },
        { "6 kn", Dimension.Speed, Speed.FromKnots(6).MetersPerSecond },
        { "1.5 inches", Dimension.Depth, Length.FromInches(1.5).Millimeters },
        { "2 cm", Dimension.Depth, Length.FromCentimeters(2).Millimeters },
        { "600 feet", Dimension.Height, Length.FromFeet(600).Meters },
        { "40 °F", Dimension.Temperature, Temperature.FromDegreesFahrenheit(40).DegreesCelsius },
        { "-10 F", Dimension.Temperature, Temperature.FromDegreesFahrenheit(-10).DegreesCelsius },
        { "280 K", Dimension.Temperature, Temperature.FromKelvins(280).DegreesCelsius },
    };

    [Theory]
    [MemberData(nameof(Amounts))]
    public void An_amount_is_converted_as_the_units_library_converts_it(string text, Dimension dimension, double expected) =>
        Assert.Equal(1, AmountText.Parse(text, dimension)!.Value / expected, 1e-8);

    // NIST Handbook 44, Appendix C: the exact values.
    [Theory]
    [InlineData("1 gal", Dimension.Volume, 3.785411784)]
    [InlineData("1 fl oz", Dimension.Volume, 0.0295735295625)]
    [InlineData("1 tbsp", Dimension.Volume, 0.01478676478125)]
    [InlineData("1 oz", Dimension.Mass, 28.349523125)]
    [InlineData("1 lb", Dimension.Mass, 453.59237)]
    [InlineData("1 acre", Dimension.Area, 4046.8564224)]
    public void The_customary_units_have_their_exact_values(string text, Dimension dimension, double expected) =>
        Assert.Equal(expected, AmountText.Parse(text, dimension)!.Value, expected * 1e-15);

    [Theory]
    [InlineData("", Dimension.Volume)]
    [InlineData("L", Dimension.Volume)]
    [InlineData("5", Dimension.Volume)]
    [InlineData("5 litres of it", Dimension.Volume)]
    [InlineData("2,5 L", Dimension.Volume)]
    [InlineData("5 L 3", Dimension.Volume)]
    [InlineData("1e3 L", Dimension.Volume)]
    [InlineData("1/0 L", Dimension.Volume)]
    [InlineData("1/2/3 L", Dimension.Volume)]
    [InlineData("٣ L", Dimension.Volume)]
    [InlineData("5 kg", Dimension.Volume)]
    [InlineData("5 M/S", Dimension.Speed)]
    public void What_is_no_amount_is_refused(string text, Dimension dimension) => Assert.Null(AmountText.Parse(text, dimension));

    [Fact]
    public void A_bare_number_is_in_the_unit_that_is_named_for_it()
    {
        Assert.Equal(-3.5, AmountText.Parse("-3.5", Dimension.Temperature, Unit.Celsius));
        Assert.Equal(10, AmountText.Parse("50", Dimension.Temperature, Unit.Fahrenheit));
        Assert.Equal(50, AmountText.Parse("50 °C", Dimension.Temperature, Unit.Fahrenheit));
    }

    [Fact]
    public void A_ratio_keeps_its_two_halves_apart()
    {
        Assert.Equal(
            (new Amount(7.5, Dimension.Mass), 1.0),
            AmountText.ParseRatio("7.5 g/L", [Dimension.Mass, Dimension.Volume], Dimension.Volume));
        Assert.Equal((new Amount(4000, Dimension.Mass), 10_000.0), AmountText.ParseRatio("4 kg / ha", [Dimension.Mass], Dimension.Area));
        Assert.Equal(
            (new Amount(28.349523125 / 2, Dimension.Mass), 3.785411784),
            AmountText.ParseRatio("1/2 oz/gal", [Dimension.Mass], Dimension.Volume));
        Assert.Equal(
            (new Amount(28.349523125 / 2, Dimension.Mass), 3.785411784),
            AmountText.ParseRatio("1/2 oz per gallon", [Dimension.Mass], Dimension.Volume));
        Assert.Null(AmountText.ParseRatio("5 L", [Dimension.Volume], Dimension.Volume));
        Assert.Equal(
            (new Amount(4535.9237, Dimension.Mass), 378.5411784),
            AmountText.ParseRatio("10 lb/100 gal", [Dimension.Mass], Dimension.Volume));
        Assert.Null(AmountText.ParseRatio("5 g/L/L", [Dimension.Mass], Dimension.Volume));
        Assert.Null(AmountText.ParseRatio("5 g/", [Dimension.Mass], Dimension.Volume));
    }
}
