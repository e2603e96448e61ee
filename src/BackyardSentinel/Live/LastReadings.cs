using System.Runtime.InteropServices;
using BackyardSentinel.Garden;
using BackyardSentinel.Weather;

namespace BackyardSentinel.Live;

/// <summary>Keeps the last reading of each series that a season is fed with.</summary>
internal sealed class LastReadings
{
    // A season has millions of readings, and a series always comes with the same name: its place in memory tells it from others.
    private readonly Dictionary<object, (long Number, SensedReading Sensed)> _last = new(ReferenceEqualityComparer.Instance);
    private long _number;

    /// <summary>A reading was taken.</summary>
    public void Note(SensedReading sensed) =>
        CollectionsMarshal.GetValueRefOrAddDefault(_last, sensed.Series, out _) = (_number++, sensed);

    /// <summary>The last reading of each quantity of a site, with its arrival.</summary>
    public IReadOnlyDictionary<(string Site, Quantity Quantity), (Reading Reading, DateTimeOffset At)> ByQuantity() =>
        _last.Values
            .OrderBy(one => one.Number)
            .GroupBy(one => (one.Sensed.Site, one.Sensed.Reading.Quantity), one => (one.Sensed.Reading, one.Sensed.ReceivedAt))
            .ToDictionary(group => group.Key, group => group.Last());
}
