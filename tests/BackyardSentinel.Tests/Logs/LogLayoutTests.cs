using BackyardSentinel.Logs;
using BackyardSentinel.Units;

namespace BackyardSentinel.Tests.Logs;

/// <summary>Heads as loggers and spreadsheets write them.</summary>
public sealed class LogLayoutTests
{
    [Theory]
    [InlineData("Temp (°F)", "temperature", "°F")]
    [InlineData("Temperature, °C", "temperature", "°C")]
    [InlineData("Outdoor Temperature [F]", "temperature", "°F")]
    [InlineData("Temp °F", "temperature", "°F")]
    [InlineData("Temp(degF)", "temperature", "°F")]
    [InlineData("temp_f", "temperature", "°F")]
    [InlineData("TEMPERATURE_F", "temperature", "°F")]
    [InlineData("Air Temp (deg C)", "temperature", "°C")]
    [InlineData("Temperature (K)", "temperature", "K")]
    [InlineData("Rain [in]", "rain", "in")]
    [InlineData("Rainfall (mm)", "rain", "mm")]
    [InlineData("Precip in.", "rain", "in")]
    [InlineData("rain_in", "rain", "in")]
    [InlineData("Wind Speed (mph)", "wind-speed", "mph")]
    [InlineData("wind km/h", "wind-speed", "km/h")]
    [InlineData("Wind (m/s)", "wind-speed", "m/s")]
    [InlineData("RH %", "humidity", "%")]
    [InlineData("Relative Humidity (%)", "humidity", "%")]
    public void A_usual_head_says_its_role_and_its_unit(string head, string role, string unit)
    {
        var layout = Layout(["Timestamp", head]);
        Assert.Equal(
            $"Column \"{head}\" is read as {role.Replace('-', ' ')} ({unit}), as its head says.",
            Assert.Single(layout.Notes));
        Assert.Equal(0, layout.Time);
        var column = Assert.Single(layout.Columns);
        Assert.Equal((role, 1), (column.Quantity.Word(), column.Place));
        // °C, mm and m/s are what is reckoned in, and need no conversion.
        Assert.Equal(unit is "°C" or "mm" or "m/s" or "%" ? null : unit, column.Unit?.Symbol);
    }

    [Theory]
    [InlineData("Dew Point (°F)")]
    [InlineData("Indoor Temp (°F)")]
    [InlineData("Rain Rate (in/h)")]
    [InlineData("Temp in")]
    [InlineData("Daily rain (mm)")]
    [InlineData("Wind gust (mph)")]
    public void A_head_that_only_looks_like_it_is_not_taken(string head)
    {
        var problem = Assert.Throws<LogProblemException>(() => Layout(["time", head]));
        Assert.StartsWith($"log.csv: no column \"temperature_c\" in the header (time, {head})", problem.Message, StringComparison.Ordinal);
    }

    [Fact]
    public void Two_columns_that_could_be_it_are_refused_with_the_option_that_decides()
    {
        var problem = Assert.Throws<LogProblemException>(() => Layout(["time", "Temp (°C)", "Temp (°F)", "RH %"]));
        Assert.Equal(
            "log.csv: each of the columns \"Temp (°C)\" and \"Temp (°F)\" could be the temperature column; "
                + "say which with --columns temperature=\"Temp (°C)\".",
            problem.Message);
        Assert.Equal(Unit.Fahrenheit, Layout(["time", "Temp (°C)", "Temp (°F)", "RH %"], mapped: "Temp (°F)").Columns[0].Unit);
    }

    [Fact]
    public void A_unit_that_is_none_is_refused_with_those_that_are()
    {
        Assert.Equal(
            "log.csv: column \"Wind (bft)\" says \"bft\", which is no unit that wind speed is read in (m/s, km/h, mph, kn); "
                + "convert the column, and name its unit in the head.",
            Assert.Throws<LogProblemException>(() => Layout(["time", "Wind (bft)"])).Message);
        Assert.Equal(
            "log.csv: column \"RH (0-1)\" says \"0-1\", which is no unit that humidity is read in (%); convert the column, "
                + "and name its unit in the head.",
            Assert.Throws<LogProblemException>(() => Layout(["time", "RH (0-1)"])).Message);
    }

    [Fact]
    public void A_head_without_a_unit_is_told_and_not_guessed_at()
    {
        var layout = Layout(["time", "temperature_c", "Rain", "Humidity"]);
        Assert.Equal([new(Quantity.Temperature, 1, null), new(Quantity.Humidity, 3, null)], layout.Columns);
        Assert.Equal(
            "Column \"Rain\" is not read: its head says no unit. Where it is the rain column, "
                + "add --columns rain=\"Rain\"; it is then read in mm.",
            Assert.Single(layout.Notes));
    }

    [Fact]
    public void The_default_names_follow_the_units_of_the_log_and_are_not_told()
    {
        var layout = Layout(["time", "temperature_c", "rain_mm"], units: UnitSystem.Us);
        Assert.Equal([Unit.Fahrenheit, Unit.Inch], layout.Columns.Select(column => column.Unit));
        Assert.Empty(layout.Notes);
        // What a head says counts more than what the log is said to be in.
        Assert.Null(Layout(["time", "Temp (°C)"], units: UnitSystem.Us).Columns[0].Unit);
    }

    private static LogLayout Layout(string[] header, UnitSystem? units = null, string? mapped = null) => LogLayout.Find(
        "log.csv",
        header,
        new LogOptions
        {
            Units = units ?? UnitSystem.Metric,
            Columns = mapped is null ? new Dictionary<string, string>() : new() { ["temperature"] = mapped },
        });
}
