using BackyardSentinel.Garden;
using BackyardSentinel.Infection;
using BackyardSentinel.Weather;

namespace BackyardSentinel.Tuning;

/// <summary>
/// What a site's rules were given, interval by interval: the weather, and of each planting what no limit changes. From it the
/// windows of any set of limits can be found again without a second reading of the log.
/// </summary>
/// <param name="site">The site as it is judged.</param>
public sealed class Recording(Site site)
{
    private readonly List<Bin> _bins = [];
    private readonly List<double>[] _susceptibility = [.. site.Plantings.Select(_ => new List<double>())];
    private readonly List<Cover?>[] _cover = [.. site.Plantings.Select(_ => new List<Cover?>())];
    private readonly Dictionary<int, UnderRoof>?[] _roofed = new Dictionary<int, UnderRoof>?[site.Plantings.Count];
    private readonly HashSet<int> _rainUnknown = [], _forgotten = [];
    private readonly List<int> _days = [];
    private DateTimeOffset _start, _dayEnds = DateTimeOffset.MinValue;
    private int _day;

    /// <summary>The site.</summary>
    public Site Site { get; } = site;

    /// <summary>How many intervals there are.</summary>
    public int Count => _bins.Count;

    /// <summary>Adds the next interval's weather; then each planting with <see cref="Add(int, double, Cover?, UnderRoof?)"/>.</summary>
    /// <param name="interval">The weather.</param>
    /// <param name="isRainUnknown">The gauge has fallen silent: what it does not tell may have fallen.</param>
    /// <param name="forgetsTemperature">What was taken for the temperature of a spell that ran before it could not be right.</param>
    public void Add(in WeatherInterval interval, bool isRainUnknown = false, bool forgetsTemperature = false)
    {
        if (_bins.Count == 0)
            _start = interval.Start;
        if (interval.Start != StartOf(_bins.Count) || interval.Length != Site.Step)
            throw new InvalidOperationException("The intervals of a recording follow one another.");
        if (isRainUnknown)
            _rainUnknown.Add(_bins.Count);
        if (forgetsTemperature)
            _forgotten.Add(_bins.Count);
        var hasLeaf = interval.LeafWetCoverage >= WetnessJudge.MinLeafWetCoverage;
        _bins.Add(new Bin(
            interval.TemperatureC ?? double.NaN,
            interval.HumidityPct ?? double.NaN,
            interval.WindMs ?? double.NaN,
            interval.RainMm ?? double.NaN,
            hasLeaf ? interval.LeafWetShare ?? double.NaN : double.NaN));
        if (interval.End >= _dayEnds)
        {
            _day = LocalDay.Of(interval.End, Site.Zone).DayNumber;
            _dayEnds = LocalDay.EndOf(interval.End, Site.Zone);
        }

        _days.Add(_day);
    }

    /// <summary>Adds what a planting brought to the last interval.</summary>
    /// <param name="planting">Its number, in the site's order.</param>
    /// <param name="susceptibility">Factor of its tissue, 0–1.</param>
    /// <param name="cover">What was left of a protectant; <c>null</c> without a journal.</param>
    /// <param name="roof">What a rain shelter left of the weather; <c>null</c>: it stood in the open.</param>
    public void Add(int planting, double susceptibility, Cover? cover, UnderRoof? roof)
    {
        _susceptibility[planting].Add(susceptibility);
        _cover[planting].Add(cover);
        if (roof is { } under)
            (_roofed[planting] ??= [])[_bins.Count - 1] = under;
    }

    /// <summary>Each planting's days of infection and curl, in the site's order.</summary>
    public IReadOnlyList<SymptomDays> SymptomDays { get; init; } = [.. site.Plantings.Select(_ => new SymptomDays())];

    /// <summary>End of an interval, UTC.</summary>
    public DateTimeOffset EndOf(int interval) => StartOf(interval + 1);

    /// <summary>Factor of a planting's tissue in an interval, 0–1.</summary>
    public double Susceptibility(int planting, int interval) => _susceptibility[planting][interval];

    /// <summary>What was left of a planting's protectant in an interval.</summary>
    public Cover? CoverOf(int planting, int interval) => _cover[planting][interval];

    /// <summary>The planting stood under a rain shelter at some time, so that its wet spells are its own.</summary>
    public bool IsSheltered(int planting) => _roofed[planting] is not null;

    /// <summary>Number of the local day in which an interval ends.</summary>
    internal int DayOf(int interval) => _days[interval];

    /// <summary>The first and the last local day.</summary>
    internal (int First, int Last) Days => (_days[0], _days[^1]);

    /// <summary>An interval's weather.</summary>
    internal WeatherInterval At(int interval)
    {
        var bin = _bins[interval];
        var leaf = Known(bin.LeafWetShare);
        return new WeatherInterval(
            StartOf(interval),
            Site.Step,
            Known(bin.TemperatureC),
            Known(bin.HumidityPct),
            Known(bin.WindMs),
            Known(bin.RainMm),
            leaf,
            leaf is null ? 0 : 1,
            1,
            1);
    }

    /// <summary>The temperatures of a spell that ran before an interval could not be right.</summary>
    internal bool ForgetsTemperature(int interval) => _forgotten.Contains(interval);

    /// <summary>What a rain shelter left of an interval for a planting; <c>null</c>: it stood in the open.</summary>
    internal UnderRoof? RoofOf(int planting, int interval) =>
        _roofed[planting] is { } roofed && roofed.TryGetValue(interval, out var under) ? under : null;

    /// <summary>Temperature, wetness and rain were known in an interval, whatever the limits.</summary>
    internal bool IsKnown(int interval)
    {
        var bin = _bins[interval];
        return !double.IsNaN(bin.TemperatureC)
            && !_rainUnknown.Contains(interval)
            && (bin.RainMm > 0 || !double.IsNaN(bin.LeafWetShare) || !double.IsNaN(bin.HumidityPct) || bin.TemperatureC < 0);
    }

    private DateTimeOffset StartOf(int interval) => _start + (interval * Site.Step);

    private static double? Known(double value) => double.IsNaN(value) ? null : value;

    private readonly record struct Bin(double TemperatureC, double HumidityPct, double WindMs, double RainMm, double LeafWetShare);
}
