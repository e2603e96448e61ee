using BackyardSentinel.Garden;
using BackyardSentinel.Spraying;
using BackyardSentinel.Weather;

namespace BackyardSentinel.Watching;

/// <summary>What rain has left of a planting's last protectant.</summary>
public sealed class PlantingCover
{
    private readonly (DateTimeOffset At, SprayEntry Entry, WashOff WashOff)[] sprays;
    private CoverTrack track = new();
    private int next;
    private Cover told = Cover.None;

    internal PlantingCover(Site site, IEnumerable<SprayEntry> entries)
    {
        var protecting = site.Products.Where(product => product.Active.GivesCover()).ToDictionary(product => product.Id, product => product.WashOff, StringComparer.Ordinal);
        sprays =
        [
            .. entries.Where(entry => protecting.ContainsKey(entry.Product))
                .Select(entry => (CoverTrack.EndOf(entry, site.Zone), entry, protecting[entry.Product])).OrderBy(spray => spray.Item1),
        ];
    }

    /// <summary>What is left.</summary>
    public Cover Cover => track.Cover;

    /// <summary>Rain since the last spray ended, mm.</summary>
    public double RainMm => track.RainMm;

    /// <summary>The last spray that gives cover, if any.</summary>
    public SprayEntry? Last => next > 0 ? sprays[next - 1].Entry : null;

    /// <summary>Takes the next interval; <c>true</c> when rain has lowered the cover with it.</summary>
    internal bool Add(in WeatherInterval interval)
    {
        while (next < sprays.Length && sprays[next].At <= interval.Start)
        {
            track = new CoverTrack(sprays[next].WashOff);
            track.Sprayed(sprays[next++].At);
            told = Cover.Fresh;
        }

        if (next == 0 || interval.RainMm is not > 0)
            return false;
        track.Rain(interval.RainMm.Value, interval.Start);
        if (track.Cover <= told)
            return false;
        told = track.Cover;
        return true;
    }
}
