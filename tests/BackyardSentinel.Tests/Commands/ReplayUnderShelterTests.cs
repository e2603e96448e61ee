using BackyardSentinel.Commands.Replay;

namespace BackyardSentinel.Tests.Commands;

/// <summary>A log may say how wet it was under the rain shelter.</summary>
public sealed class ReplayUnderShelterTests : IDisposable
{
    private readonly LogFolder _folder = new();

    public void Dispose() => _folder.Dispose();

    [Theory]
    [InlineData(",leaf_wetness_under_shelter", 80, 20)]
    [InlineData(",leaf_wetness_under_shelter", 0, 0)]
    [InlineData(",note", 80, 0)]
    public void Only_the_column_of_the_sensor_under_the_shelter_wets_what_stands_under_it(string column, double value, double wetHours)
    {
        var site = new Site { Id = "garden", Plantings = [new Planting("tree", Stage: 9)] };
        var rows = Enumerable
            .Range(0, 30)
            .Select(hour => $"{LogFolder.Stamp(hour)},9.5,{(hour < 20 ? 97 : 60)},{(hour < 2 ? 4 : 0)},{(hour < 20 ? value : 0)}");
        var log = _folder.File(LogFolder.Lines([LogFolder.Header + column, .. rows]));
        var on = new ShelterEntry(1, "garden", "tree", new DateOnly(2027, 1, 1), true);

        var result = Replay.Run(site, [log], LogFolder.Hourly, journal: [on]);

        var own = result.Windows.Where(window => window.Rule == RuleName.WetHours.Word()).ToList();
        Assert.Equal(wetHours, own.Sum(window => window.WetHours));
        Assert.All(own, window => Assert.True(window.NoRainGauge));
        // In the open all three are the same.
        Assert.Equal(wetHours > 0 ? 0 : 1, result.Sheltered.Count(window => window.Rule == RuleName.WetHours.Word()));
    }
}
