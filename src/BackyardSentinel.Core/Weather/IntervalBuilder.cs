using System.Runtime.CompilerServices;
using BackyardSentinel.Garden;

namespace BackyardSentinel.Weather;

/// <summary>
/// Turns the readings of one site into intervals. Intervals come out in order and without a hole; time in which
/// nothing spoke is an interval without values.
/// </summary>
public sealed class IntervalBuilder
{
    private readonly long _step, _hold;
    private readonly WetnessScale _wetnessScale, _underShelter;
    private readonly Outages _outages;
    private readonly LevelTrack?[][] _levels = [.. Quantities.All.Select(_ => Array.Empty<LevelTrack?>())];
    private readonly HashSet<(Quantity, int)> _unused = [];
    private AmountTrack?[] _rain = [];
    private long _judgedUntil = long.MinValue;
    private long _last = long.MinValue;

    /// <summary>Creates a builder with the site's step, hold and leaf-wetness scale.</summary>
    /// <param name="site">The site.</param>
    /// <param name="outages">The outages known so far; <c>null</c>: none.</param>
    public IntervalBuilder(Site site, Outages? outages = null)
    {
        _outages = outages ?? new Outages();
        (_step, _hold) = (site.Step.Ticks, site.Hold.Ticks);
        _wetnessScale = site.LeafWetIsShare
            ? WetnessScale.ShareOfTime
            : new WetnessScale(site.LeafWetOn, site.LeafWetOff, site.LeafWetInverted);
        _underShelter = site.UnderShelter ?? _wetnessScale;
    }

    /// <summary>End of the interval that comes next, in UTC ticks; far in the future before the first reading.</summary>
    internal long NextEnd { get; private set; } = long.MaxValue;

    /// <summary>The reading speaks of time that has been judged without it.</summary>
    public bool HasJudged(in Reading reading) =>
        reading.Quantity == Quantity.Rain && reading.Period == TimeSpan.Zero
            ? reading.Ticks <= _judgedUntil
            : reading.Ticks < _judgedUntil;

    /// <summary>
    /// Listening stopped, for longer than the grace of an outage. Must be told before an interval that ends behind the grace is taken.
    /// </summary>
    /// <param name="since">When.</param>
    public void Interrupt(DateTimeOffset since)
    {
        _outages.Add(since);
        foreach (var tracks in _levels)
        {
            foreach (var track in tracks)
                track?.Interrupt(since.UtcTicks);
        }
    }

    /// <summary>Takes one reading; says why not, if not.</summary>
    public QualityVerdict Add(in Reading reading) =>
        Add(reading.Quantity, reading.Rank, reading.Ticks, reading.Value, reading.Period.Ticks);

    /// <summary>The same of what a reading consists of: most of a replay's time goes by in here.</summary>
    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    internal QualityVerdict Add(Quantity quantity, int rank, long time, double told, long period)
    {
        var quality = QualityControl.Judge(quantity, told, out var value);
        if (quality == QualityVerdict.Impossible)
            return quality;

        var verdict = quantity == Quantity.Rain
            ? RainOf(rank).TryAdd(time, value, period, _judgedUntil)
            : LevelOf(quantity, rank).TryAdd(time, value, period, _judgedUntil);
        if (verdict is not (QualityVerdict.Good or QualityVerdict.Leap))
            return verdict;

        if (_judgedUntil == long.MinValue)
        {
            // A momentary amount stamped at an interval's exact start fell in the interval before.
            var within = quantity == Quantity.Rain && period == 0 ? time - 1 : time;
            NextEnd = Math.Min(NextEnd, within - within % _step + _step);
        }

        _last = Math.Max(_last, period > 0 ? time + period - 1 : time);
        return verdict == QualityVerdict.Leap ? verdict : quality;
    }

    /// <summary>How many rows, from the first on, are taken without a question.</summary>
    /// <param name="rows">The rows, of series that have spoken before; others are not.</param>
    internal int CountPlain(in RowRun rows)
    {
        var count = _judgedUntil == long.MinValue ? 0 : rows.Count;
        foreach (var quantity in rows.Columns)
        {
            if (count == 0)
                return 0;
            var values = rows.Of(quantity)[..count];
            if (quantity == Quantity.Rain)
                count = _rain is [{ } rain, ..] && rows.Ticks[0] > rain.Latest ? AmountTrack.CountPlain(values) : 0;
            else
                count = _levels[(int)quantity] is [{ } level, ..] && rows.Ticks[0] > level.Latest ? level.CountPlain(values) : 0;
        }

        return count;
    }

    /// <summary>Takes such rows.</summary>
    /// <param name="rows">The rows, behind what was judged, in the order of time.</param>
    internal void AddPlain(in RowRun rows)
    {
        foreach (var quantity in rows.Columns)
        {
            var latest = quantity == Quantity.Rain
                ? _rain[0]!.AddPlain(rows.Ticks, rows.Of(quantity))
                : _levels[(int)quantity][0]!.AddPlain(rows.Ticks, rows.Of(quantity));
            _last = Math.Max(_last, latest);
        }
    }

    /// <summary>From the next interval on a series is used, or not. Its readings are taken all the same.</summary>
    internal void Use(Quantity quantity, int rank, bool use)
    {
        if (use)
            _unused.Remove((quantity, rank));
        else
            _unused.Add((quantity, rank));
    }

    /// <summary>No series of the quantity that comes before this one in the order of preference has spoken and is used.</summary>
    internal bool IsFirstUsed(Quantity quantity, int rank)
    {
        for (var before = 0; before < rank; before++)
        {
            if (HasSpoken(quantity, before) && !_unused.Contains((quantity, before)))
                return false;
        }

        return true;
    }

    /// <summary>Some series of the quantity that has spoken is used.</summary>
    internal bool HasUsed(Quantity quantity)
    {
        var known = quantity == Quantity.Rain ? _rain.Length : _levels[(int)quantity].Length;
        for (var rank = 0; rank < known; rank++)
        {
            if (HasSpoken(quantity, rank) && !_unused.Contains((quantity, rank)))
                return true;
        }

        return false;
    }

    private bool HasSpoken(Quantity quantity, int rank) => quantity == Quantity.Rain
        ? _rain.ElementAtOrDefault(rank) is not null
        : _levels[(int)quantity].ElementAtOrDefault(rank) is not null;

    /// <summary>Gives the next interval if it ends at or before <paramref name="horizon"/>.</summary>
    public bool TryTake(DateTimeOffset horizon, out WeatherInterval interval) => TryTake(horizon.UtcTicks, out interval);

    /// <summary>The same of UTC ticks.</summary>
    internal bool TryTake(long horizon, out WeatherInterval interval)
    {
        if (NextEnd == long.MaxValue || NextEnd > horizon)
        {
            interval = default;
            return false;
        }

        interval = Build(NextEnd - _step, NextEnd);
        _judgedUntil = NextEnd;
        NextEnd += _step;
        return true;
    }

    /// <summary>Gives the next interval if it begins at or before the last reading: for the end of a log.</summary>
    public bool TryTakeRest(out WeatherInterval interval) => TryTake(_last < NextEnd - _step ? long.MinValue : long.MaxValue, out interval);

    private WeatherInterval Build(long from, long to)
    {
        var temperature = TakeLevel(Quantity.Temperature, from, to);
        var humidity = TakeLevel(Quantity.Humidity, from, to);
        var wind = TakeLevel(Quantity.WindSpeed, from, to);
        var leaf = TakeLevel(Quantity.LeafWetness, from, to);
        var sheltered = TakeLevel(Quantity.LeafWetnessUnderShelter, from, to);
        return new WeatherInterval(from, _step, Mean(temperature), Mean(humidity), Mean(wind), TakeRain(from, to) ?? double.NaN)
        {
            LeafWetShare = leaf.Covered > 0 ? (double)leaf.WetTicks / leaf.Covered : null,
            LeafWetCoverage = (double)leaf.Covered / _step,
            TemperatureCoverage = (double)temperature.Covered / _step,
            HumidityCoverage = (double)humidity.Covered / _step,
            ShelterWetShare = sheltered.Covered > 0 ? (double)sheltered.WetTicks / sheltered.Covered : null,
            ShelterWetCoverage = (double)sheltered.Covered / _step,
        };
    }

    /// <summary>Every series moves on; the first in order of preference that covers anything is used.</summary>
    private LevelTrack.Sum TakeLevel(Quantity quantity, long from, long to)
    {
        var used = default(LevelTrack.Sum);
        var tracks = _levels[(int)quantity];
        for (var rank = 0; rank < tracks.Length; rank++)
        {
            var track = tracks[rank];
            if (track is null)
                continue;
            var sum = track.Take(from, to);
            if (used.Covered == 0 && (_unused.Count == 0 || !_unused.Contains((quantity, rank))))
                used = sum;
        }

        return used;
    }

    private double? TakeRain(long from, long to)
    {
        double? used = null;
        for (var rank = 0; rank < _rain.Length; rank++)
        {
            var amount = _rain[rank]?.Take(from, to);
            if (!_unused.Contains((Quantity.Rain, rank)))
                used ??= amount;
        }

        return used;
    }

    private static double Mean(in LevelTrack.Sum sum) => sum.Covered > 0 ? sum.Weighted / sum.Covered : double.NaN;

    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    private LevelTrack LevelOf(Quantity quantity, int rank)
    {
        var tracks = _levels[(int)quantity];
        return rank < tracks.Length && tracks[rank] is { } known ? known : NewLevel(quantity, rank);
    }

    private LevelTrack NewLevel(Quantity quantity, int rank)
    {
        ref var tracks = ref _levels[(int)quantity];
        if (rank >= tracks.Length)
            Array.Resize(ref tracks, rank + 1);
        return tracks[rank] = new LevelTrack(quantity, _hold, _outages, quantity switch
        {
            Quantity.LeafWetness => _wetnessScale,
            Quantity.LeafWetnessUnderShelter => _underShelter,
            Quantity.Temperature or Quantity.Humidity or Quantity.Rain or Quantity.WindSpeed => null,
        });
    }

    private AmountTrack RainOf(int rank) => rank < _rain.Length && _rain[rank] is { } known ? known : NewRain(rank);

    private AmountTrack NewRain(int rank)
    {
        if (rank >= _rain.Length)
            Array.Resize(ref _rain, rank + 1);
        return _rain[rank] = new AmountTrack();
    }
}
