using BackyardSentinel.Commands.Replay;
using BackyardSentinel.Logs;
using BackyardSentinel.Units;

namespace BackyardSentinel.Tests.Commands;

public sealed class ReplayUnitsTests : IDisposable
{
    private readonly LogFolder _folder = new();

    public void Dispose() => _folder.Dispose();

    // 48.2 °F are 9 °C, 0.05 in 1.27 mm and 4.5 mph 2 m/s, by hand.
    [Theory]
    [InlineData("temperature_f,humidity_pct,rain_in,wind_mph")]
    [InlineData("temperature_c,humidity_pct,rain_mm,wind_ms")]
    public void A_us_log_gives_what_the_same_log_gives_in_metric_units(string usNames)
    {
        var metric = Windows(
            "time,temperature_c,humidity_pct,rain_mm,wind_ms",
            "9,97,1.27,2.01168",
            hour => $"2025-11-18T{hour:00}:00:00",
            LogFolder.Hourly);
        var us = Windows(
            "time," + usNames,
            "48.2,97,0.05,4.5",
            hour => $"11/18/2025 {(hour % 12 == 0 ? 12 : hour % 12)}:00 {(hour < 12 ? "AM" : "PM")}",
            LogFolder.Hourly with
            {
                Units = UnitSystem.Us,
                TimePattern = "M/d/yyyy h:mm tt",
            });
        Assert.Single(metric, window => window.Rule == Garden.RuleName.WetHours.Word());
        Assert.Equal(
            metric.Select(window =>
                (window.Rule, window.OpenedAt, Math.Round(window.RainMm ?? 0, 6), Math.Round(window.MeanTempC ?? 0, 6))),
            us.Select(window => (window.Rule, window.OpenedAt, Math.Round(window.RainMm ?? 0, 6), Math.Round(window.MeanTempC ?? 0, 6))));
    }

    [Fact]
    public void Days_with_slashes_are_refused_with_the_option_that_reads_them()
    {
        var result = Replay.Run(LogFolder.Site, [_folder.File("time,temperature_c\n11/18/2025 14:00,9\n")], LogFolder.Hourly);
        Assert.Contains("--time-pattern \"MM/dd/yyyy HH:mm\"", result.Rejected.Single().Reason, StringComparison.Ordinal);
    }

    private IReadOnlyList<BackyardSentinel.Infection.InfectionWindow> Windows(
        string header,
        string values,
        Func<int, string> time,
        LogOptions options)
    {
        var rows = Enumerable.Range(0, 20).Select(hour => $"{time(hour)},{values}");
        return Replay.Run(LogFolder.Site, [_folder.File(string.Join('\n', rows.Prepend(header)) + "\n")], options).Windows;
    }
}
