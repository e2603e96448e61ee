namespace BackyardSentinel.Tests.Units;

public class UnitSystemTests
{
    // NIST Handbook 44, appendix C (from memory); the acre, the foot and the mile follow from the foot of 0.3048 m.
    [Fact]
    public void The_customary_units_have_their_exact_values()
    {
        Assert.Equal(3.785411784, Unit.Gallon.Factor, 1e-12);
        Assert.Equal(0.0295735295625, Unit.FluidOunce.Factor, 1e-15);
        Assert.Equal(0.01478676478125, Unit.Tablespoon.Factor, 1e-15);
        Assert.Equal(28.349523125, Unit.Ounce.Factor, 1e-12);
        Assert.Equal(453.59237, Unit.Pound.Factor, 1e-12);
        Assert.Equal(43_560 * 0.3048 * 0.3048, Unit.Acre.Factor, 1e-9);
        Assert.Equal(0.3048 * 0.3048, Unit.SquareFoot.Factor, 1e-15);
        Assert.Equal(5280 * 0.3048 / 3600, Unit.MilePerHour.Factor, 1e-15);
        Assert.Equal(304.8 / 12, Unit.Inch.Factor, 1e-12);
        Assert.Equal(-40, Unit.Fahrenheit.ToReckoned(-40), 1e-12);
    }

    [Fact]
    public void Every_unit_goes_there_and_back_and_no_name_stands_for_two_units_of_a_dimension()
    {
        foreach (var unit in Unit.All)
        {
            Assert.Equal(12.5, unit.ToReckoned(unit.FromReckoned(12.5)), 1e-12);
            foreach (var name in unit.Names.Append(unit.Symbol))
            {
                Assert.Same(unit, Unit.Find(unit.Dimension, name));
                Assert.Single(
                    Unit.All,
                    other =>
                        other.Dimension == unit.Dimension
                        && other.Names.Append(other.Symbol).Contains(name, StringComparer.OrdinalIgnoreCase));
            }
        }
    }

    [Fact]
    public void Capitals_have_a_meaning_in_metric_units_only()
    {
        Assert.Same(Unit.Tablespoon, Unit.Find(Dimension.Volume, "Tbsp"));
        Assert.Same(Unit.Gallon, Unit.Find(Dimension.Volume, "GAL"));
        Assert.Null(Unit.Find(Dimension.Speed, "M/S"));
        Assert.Null(Unit.Find(Dimension.Depth, "MM"));
    }

    // Expected figures by hand from the exact factors.
    [Fact]
    public void The_same_figures_are_told_in_either_system()
    {
        (string Metric, string Us, Func<UnitSystem, string> Say)[] cases =
        [
            ("16 °C", "60.8 °F", units => units.Temperature(16)),
            ("0 °C", "32 °F", units => units.Temperature(0)),
            ("0 °C", "32 °F", units => units.Temperature(-0.02)),
            ("-17.8 °C", "0 °F", units => units.Temperature(-160.0 / 9)),
            ("4.4 °C", "40 °F", units => units.Temperature(40.0 / 9)),
            ("7.5 to 12 °C", "45.5 to 53.6 °F", units => units.Temperature(7.5, 12)),
            ("2.5 °C", "4.5 °F", units => units.TemperatureDifference(2.5)),
            ("2 to 8 °C", "3.6 to 14.4 °F", units => units.TemperatureDifference(2, 8)),
            ("150 degree-days", "270 degree-days (°F)", units => units.DegreeDays(150)),
            ("3 mm", "0.12 in", units => units.Rain(3)),
            ("0 mm", "0 in", units => units.Rain(0)),
            ("0.2 mm", "0.01 in", units => units.Rain(0.2)),
            ("0.1 mm", "under 0.01 in", units => units.Rain(0.1)),
            ("under 0.1 mm", "under 0.01 in", units => units.Rain(0.01)),
            ("25.4 mm", "1 in", units => units.Rain(25.4)),
            ("4.5 m/s", "10 mph", units => units.Wind(4.4704)),
            ("0.6 to 4.5 m/s", "1.2 to 10 mph", units => units.Wind(2 / 3.6, 4.4704)),
            ("20 cm", "8 in", units => units.Depth(20)),
            ("4 kg/ha", "3.57 lb/acre", units => units.MassPerArea(4)),
            ("16.9 mg/kg", "16.9 ppm", units => units.SoilContent(16.85)),
            ("7.57 L", "2 gal", units => units.Volume(7.570823568)),
            ("20 g", "0.705 oz", units => units.Mass(20)),
            ("30 mL", "1.01 fl oz (2.03 tbsp)", units => units.SmallVolume(30)),
            ("29.6 mL", "2 tbsp", units => units.Spoons(29.5735295625)),
            ("355 mL", "1.5 cup", units => units.Spoons(354.88235475)),
            ("7.49 g/L", "1 oz per gal", units => units.Dose(7.489151707, ProductUnit.Gram)),
            ("81.5 %", "81.5 %", units => units.Value(Quantity.Humidity, 81.5)),
            ("9 °C", "48.2 °F", units => units.Value(Quantity.Temperature, 9)),
            ("0.5 mm", "0.02 in", units => units.Value(Quantity.Rain, 0.5)),
            ("2 m/s", "4.5 mph", units => units.Value(Quantity.WindSpeed, 2)),
            ("450", "450", units => units.Value(Quantity.LeafWetness, 450)),
        ];
        foreach (var (metric, us, say) in cases)
        {
            Assert.Equal(metric, say(UnitSystem.Metric));
            Assert.Equal(us, say(UnitSystem.Us));
        }
    }

    [Fact]
    public void A_system_is_found_by_its_word()
    {
        Assert.Same(UnitSystem.Us, UnitSystem.Find("us"));
        Assert.Same(UnitSystem.Metric, UnitSystem.Find("metric"));
        Assert.Null(UnitSystem.Find("imperial"));
    }
}
