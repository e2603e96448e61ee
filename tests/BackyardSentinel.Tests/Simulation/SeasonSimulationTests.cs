using System.Security.Cryptography;
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
        var days = seasons is null ? 5 : LongRun.Asked("DAYS") ?? 270;
        // The first twice at the same time, then the others in pairs: two cores have enough to do.
        var twice = await Task.WhenAll(PlayAsync("first", LongRun.Seed, days), PlayAsync("again", LongRun.Seed, days));
        Assert.Equal([], twice[0].Except(twice[1], StringComparer.Ordinal).Take(10));
        Assert.Equal(twice[0], twice[1]);
        foreach (var pair in Enumerable.Range(1, Math.Max(0, (seasons ?? 1) - 1)).Chunk(2))
            await Task.WhenAll(pair.Select(season => PlayAsync($"{season}", LongRun.Seed + season, days)));
    }

    /// <summary>Plays a season and gives what came of it, line by line.</summary>
    private async Task<List<string>> PlayAsync(string name, int seed, int days)
    {
        var folder = Directory.CreateDirectory(Path.Combine(_folder, name)).FullName;
        await using var played = new SimulatedSeason(folder, seed);
        List<string> record;
        try
        {
            record = await Task.Run(() => played.PlayAsync(days));
        }
        catch (Exception failure)
        {
            throw new InvalidOperationException($"seed {seed}: {failure.Message}", failure);
        }

        var hash = Convert.ToHexString(SHA256.HashData(Encoding.UTF8.GetBytes(string.Join('\n', record))))[..16];
        LongRun.Tell($"season of {days} days, seed {seed}: {played.Figures}; hash {hash}");
        return record;
    }
}
