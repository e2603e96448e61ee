using BackyardSentinel.Tests;

namespace BackyardSentinel.Simulation;

/// <summary>
/// Seasons in which everything goes wrong, held to what was sent. A few days always; BACKYARD_SENTINEL_SEASONS=3 plays so many seasons
/// of 270 days, or of as many as BACKYARD_SENTINEL_DAYS says, and the first of them twice.
/// </summary>
public sealed class SeasonSimulationTests : IDisposable
{
    // In memory where that can be had: a disk would have to keep each of some hundred thousand commits.
    private readonly string _folder = Directory.CreateDirectory(
        Path.Combine(Directory.Exists("/dev/shm") ? "/dev/shm" : Path.GetTempPath(), $"season-{Guid.NewGuid():n}")).FullName;

    public void Dispose() => Directory.Delete(_folder, true);

    [Fact]
    public async Task Whatever_goes_wrong_nothing_is_lost_or_invented_and_the_same_seed_gives_the_same_season()
    {
        var seasons = LongRun.Asked("SEASONS");
        var days = seasons is null ? 8 : LongRun.Asked("DAYS") ?? 270;
        string? first = null;
        for (var season = 0; season <= (seasons ?? 1); season++)
        {
            // The last is the first once more.
            var isAgain = season == (seasons ?? 1);
            var seed = LongRun.Seed + (isAgain ? 0 : season);
            var folder = Directory.CreateDirectory(Path.Combine(_folder, $"{season}")).FullName;
            await using var played = new SimulatedSeason(folder, seed);
            string hash;
            try
            {
                hash = await played.PlayAsync(days);
            }
            catch (Exception failure)
            {
                throw new InvalidOperationException($"seed {seed}: {failure.Message}", failure);
            }

            LongRun.Tell($"season of {days} days, seed {seed}: {played.Figures}; hash {hash}");
            first ??= hash;
            if (isAgain)
                Assert.Equal(first, hash);
        }
    }
}
