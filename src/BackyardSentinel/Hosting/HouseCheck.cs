using BackyardSentinel.Alerting;
using BackyardSentinel.Delivery;
using BackyardSentinel.Guards;

namespace BackyardSentinel.Hosting;

/// <summary>
/// Looks each minute at what the installation itself needs: room on the disk, a way out for alerts.
/// Each trouble is told when it begins, not while it lasts.
/// </summary>
public sealed class HouseCheck
{
    /// <summary>Less free room than this is told, MB.</summary>
    public const long LowMb = 500;

    /// <summary>From this on the disk counts as well again, MB.</summary>
    public const long WellMb = 600;

    private readonly Func<long?> _freeMb;
    private readonly AlertPathHealth? _alertPath;
    private StoreDamaged? _damaged;
    private DiskLow? _diskLow;
    private AlertPathDead? _pathDead;

    /// <summary>Makes the check.</summary>
    /// <param name="freeMb">Free room where the store lies, MB; <c>null</c>: not known.</param>
    /// <param name="alertPath">Whether alerts get out; <c>null</c>: there are no receivers.</param>
    /// <param name="damaged">What became of a store that was found damaged; <c>null</c>: it was sound.</param>
    public HouseCheck(Func<long?> freeMb, AlertPathHealth? alertPath, StoreDamaged? damaged = null) =>
        (_freeMb, _alertPath, _damaged) = (freeMb, alertPath, damaged);

    /// <summary>Free room on the disk of a file, MB; <c>null</c> where the system does not say.</summary>
    public static long? FreeMb(string path) => DiskRoom.FreeBytes(path) / (1024 * 1024);

    /// <summary>The troubles that stand since the last look.</summary>
    public IReadOnlyList<Occasion> Standing => [.. new Occasion?[] { _diskLow, _pathDead }.OfType<Occasion>()];

    /// <summary>What has come about since the last look.</summary>
    /// <param name="now">The clock's time.</param>
    public IReadOnlyList<Occasion> Look(DateTimeOffset now)
    {
        List<Occasion> news = [];
        if (_damaged is { } damaged)
        {
            _damaged = null; // Once: it is mended, and told under the same id after each start.
            if (now < damaged.UsefulUntil)
                news.Add(damaged);
        }

        var free = _freeMb();
        if (free < LowMb && _diskLow is null)
            news.Add(_diskLow = new DiskLow(now, free.Value));
        else if (free >= WellMb)
            _diskLow = null;

        if (_alertPath is { IsDead: true, OpenSince: { } since } && _pathDead is null)
            news.Add(_pathDead = new AlertPathDead(now, since));
        else if (_alertPath is { IsDead: false })
            _pathDead = null;
        return news;
    }
}
