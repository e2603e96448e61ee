namespace BackyardSentinel.Tests.Infection;

// Rossi, Bolognesi and Giosuè 2007, Phytopathology 97:1625–1633 (abstract): fruit needs 12 mm and 24 wet hours, no
// infection was seen from 17 °C on, and it happens after petal fall.
public class FruitInfectionTests
{
    [Theory]
    [InlineData(12, 24, 16.9, true)]
    [InlineData(11.9, 24, 10, false)]
    [InlineData(12, 23.9, 10, false)]
    [InlineData(12, 24, 17, false)]
    [InlineData(40, 60, 3, true)]
    public void Fruit_takes_more_rain_and_longer_wetness_than_shoots(double rainMm, double wetHours, double meanC, bool possible)
    {
        Assert.Equal(possible, FruitInfection.IsPossible(Spell(rainMm, wetHours, meanC), petalsFallen: true));
        Assert.False(FruitInfection.IsPossible(Spell(rainMm, wetHours, meanC), petalsFallen: false));
    }

    [Fact]
    public void A_spell_that_infects_fruit_below_sixteen_degrees_infects_shoots_too()
    {
        for (var wetHours = 24.0; wetHours < 80; wetHours += 3.5)
        {
            var spell = Spell(12 + wetHours, wetHours, 15.9);
            Assert.True(FruitInfection.IsPossible(spell, petalsFallen: true));
            Assert.True(new WetHoursRule("tree").MeetsMinimum(spell));
        }
    }

    [Fact]
    public void Without_a_temperature_nothing_is_said_to_infect() =>
        Assert.False(FruitInfection.IsPossible(Spell(30, 40, null), petalsFallen: true));

    [Fact]
    public void Without_a_rain_gauge_wetness_stands_in_for_rain() =>
        Assert.True(FruitInfection.IsPossible(Spell(0, 24, 10) with { NoRainGauge = true }, petalsFallen: true));

    private static WetSpell Spell(double rainMm, double wetHours, double? meanC) =>
        new(Some.At(0), Some.At(wetHours), wetHours, rainMm, meanC, meanC, meanC, false, false);
}
