namespace BackyardSentinel.Storage;

/// <summary>A store for tests of what it keeps, gives back and forgets, at the limits and just beside them.</summary>
public abstract class StoreBench : IDisposable
{
    // In memory where that can be had: what is asked here is not whether a disk keeps it.
    protected string Folder { get; } = Directory.CreateDirectory(
        Path.Combine(Directory.Exists("/dev/shm") ? "/dev/shm" : Path.GetTempPath(), $"store-edges-{Guid.NewGuid():n}")).FullName;

    protected static readonly DateTimeOffset Begin = new(2027, 2, 1, 0, 0, 0, TimeSpan.Zero);

    protected string File => Path.Combine(Folder, "garden.db");

    public void Dispose()
    {
        Directory.Delete(Folder, true);
        GC.SuppressFinalize(this);
    }

    protected static StoredReading Reading(int series, DateTimeOffset at, double value, double latencySeconds = 0) =>
        new(series, at.ToUnixTimeMilliseconds(), value, (at.ToUnixTimeMilliseconds() * 1000) + (long)(latencySeconds * 1e6));
}
