using BackyardSentinel.PowerCuts;

namespace BackyardSentinel.Simulation;

/// <summary>Where schedules are played, one after the other: two sites with six sensors, two garden files, one store.</summary>
internal sealed class ScheduleGround : IDisposable
{
    private static readonly DateTimeOffset Begin = new(2027, 3, 1, 6, 0, 0, TimeSpan.Zero);

    // In memory where that can be had: what a disk may do is tried elsewhere.
    private readonly string _folder = Directory.CreateDirectory(
        Path.Combine(Directory.Exists("/dev/shm") ? "/dev/shm" : Path.GetTempPath(), $"schedule-{Guid.NewGuid():n}")).FullName;

    private readonly GardenFile _usual, _other;

    public ScheduleGround()
    {
        _usual = SimulatedGarden.Written(_folder, "garden", Devices, ["peach"]);
        _other = SimulatedGarden.Written(_folder, "other", Devices, ["peach", "young-peach"]) with { Store = _usual.Store };
    }

    /// <summary>Some name the time of what they say, and some do not.</summary>
    public static IReadOnlyList<SimulatedDevice> Devices { get; } =
    [
        new("yard", Quantity.Temperature, true),
        new("yard", Quantity.Humidity, true),
        new("yard", Quantity.Rain, false),
        new("yard", Quantity.LeafWetness, true),
        new("field", Quantity.Temperature, false),
        new("field", Quantity.Humidity, false),
    ];

    /// <summary>How often each thing happened, and what came of it.</summary>
    public SortedDictionary<string, long> Figures { get; } = new(StringComparer.Ordinal);

    public void Dispose() => Directory.Delete(_folder, true);

    /// <summary>Plays it twice.</summary>
    /// <returns>What does not hold; <c>null</c>: all does.</returns>
    public async Task<string?> FailureOfAsync(IReadOnlyList<Happening> schedule)
    {
        try
        {
            var (first, again) = (await PlayAsync(schedule), await PlayAsync(schedule));
            var other = again.Except(first).Concat(first.Except(again)).FirstOrDefault();
            return first.SequenceEqual(again) ? null : $"The same schedule gave something else the second time: {other ?? "another order"}";
        }
        catch (Exception failure)
        {
            return failure.ToString();
        }
    }

    private async Task<List<string>> PlayAsync(IReadOnlyList<Happening> schedule)
    {
        foreach (var file in Directory.GetFiles(_folder, "garden.db*"))
            File.Delete(file);
        using var disk = schedule.Any(one => one.What == What.DiskRefuses) ? RecordingDisk.Watch(_folder) : null;
        var garden = new SimulatedGarden(_usual, Begin, Devices, new SimulatedPhone(), brokerKeeps: 60);
        await using var played = new PlayedSchedule(garden, _other, disk);
        var record = await played.PlayAsync(schedule);
        foreach (var (what, count) in played.Figures)
            Figures[what] = Figures.GetValueOrDefault(what) + count;
        return record;
    }
}
