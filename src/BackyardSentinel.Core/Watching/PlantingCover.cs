using BackyardSentinel.Garden;
using BackyardSentinel.Spraying;
using BackyardSentinel.Weather;

namespace BackyardSentinel.Watching;

/// <summary>What rain has left of a planting's last protectant. Rain that nobody measured may have fallen.</summary>
public sealed class PlantingCover
{
    /// <summary>Of no more time since the spray may the rain be unknown where its cover counts as fresh. Assumed.</summary>
    private static readonly TimeSpan MostUnmeasured = TimeSpan.FromDays(1);

    private readonly (DateTimeOffset At, SprayEntry Entry, WashOff WashOff)[] _sprays;
    private CoverTrack _track = new();
    private TimeSpan _unmeasured;
    private int _next;
    private Cover _told = Cover.None;

    internal PlantingCover(Site site, IEnumerable<SprayEntry> entries)
    {
        var protecting = site
            .Products.Where(product => product.Active.GivesCover())
            .ToDictionary(product => product.Id, product => product.WashOff, StringComparer.Ordinal);
        _sprays =
        [
            .. entries.Where(entry => protecting.ContainsKey(entry.Product))
                .Select(entry => (CoverTrack.EndOf(entry, site.Zone), entry, protecting[entry.Product])).OrderBy(spray => spray.Item1),
        ];
    }

    /// <summary>What is left; as long as the rain was not measured throughout it is one to look at.</summary>
    public Cover Cover => _track.Cover == Cover.Fresh && !IsMeasured ? Cover.Recheck : _track.Cover;

    /// <summary>The rain since the last spray is known but for a day of the time.</summary>
    public bool IsMeasured => _unmeasured <= MostUnmeasured;

    /// <summary>Rain since the last spray ended, mm.</summary>
    public double RainMm => _track.RainMm;

    /// <summary>The last spray that gives cover, if any.</summary>
    public SprayEntry? Last => _next > 0 ? _sprays[_next - 1].Entry : null;

    /// <summary>Takes the next interval; <c>true</c> when rain has lowered the cover with it.</summary>
    /// <param name="interval">The interval.</param>
    /// <param name="isRainKnown">What it does not tell of rain did not fall.</param>
    internal bool Add(in WeatherInterval interval, bool isRainKnown)
    {
        while (_next < _sprays.Length && _sprays[_next].At <= interval.Start)
        {
            _track = new CoverTrack(_sprays[_next].WashOff);
            // The first interval of all may come long after the spray.
            _unmeasured = interval.Start - _sprays[_next].At;
            _track.Sprayed(_sprays[_next++].At);
            _told = Cover.Fresh;
        }

        if (!isRainKnown)
            _unmeasured += interval.Length;
        if (_next == 0 || interval.RainMm is not > 0)
            return false;
        _track.Rain(interval.RainMm.Value, interval.Start);
        if (_track.Cover <= _told)
            return false;
        _told = _track.Cover;
        return true;
    }
}
