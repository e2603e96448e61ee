using BackyardSentinel.Garden;
using BackyardSentinel.Weather;

namespace BackyardSentinel.Alerting;

/// <summary>
/// Watches whether the sensors of one site speak and move. Arrivals count, not the readings' own times: what is stamped
/// right and comes hours late was silent, and what is a day old is no word of now. An occasion's time is the moment its limit was
/// reached, however late the clock was asked.
/// </summary>
public sealed class SensorWatch
{
    private readonly string _site;
    private readonly Outages _outages;
    private readonly OrderedDictionary<string, SeriesPulse> _pulses = new(StringComparer.Ordinal);
    // None is silent too long before this.
    private DateTimeOffset _nextSilence = DateTimeOffset.MinValue;

    /// <summary>Starts to listen; a sensor that never speaks is silent since then.</summary>
    /// <param name="site">The site's id.</param>
    /// <param name="series">Its series by id, with what each measures.</param>
    /// <param name="start">When listening starts, UTC.</param>
    /// <param name="outages">When listening stopped; grows with what is known. <c>null</c>: never.</param>
    public SensorWatch(string site, IReadOnlyDictionary<string, Quantity> series, DateTimeOffset start, Outages? outages = null)
    {
        (_site, _outages) = (site, outages ?? new Outages());
        foreach (var (id, quantity) in series.OrderBy(one => one.Key, StringComparer.Ordinal))
            _pulses[id] = new SeriesPulse(quantity, start.ToUniversalTime());
    }

    /// <summary>
    /// What is wrong with the site's sensors now, whatever was told of it: those that are silent, as one trouble where
    /// there are several, and each that is stuck.
    /// </summary>
    public IEnumerable<Occasion> Standing
    {
        get
        {
            var silent = _pulses.Where(pulse => pulse.Value.SilentSince is not null).ToList();
            if (silent.Count > 1)
                yield return new SensorsSilent(
                    _site,
                    silent.Min(pulse => pulse.Value.SilentAt!.Value),
                    silent.Count,
                    silent.Min(pulse => pulse.Value.SilentSince!.Value))
                {
                    Unheard = silent.All(pulse => _outages.AnyKnown(pulse.Value.SilentSince!.Value, pulse.Value.SilentAt!.Value)),
                    IsLate = silent.All(pulse => pulse.Value.IsLate),
                };
            else if (silent is [var (only, alone)])
                yield return Silent(only, alone, alone.SilentSince!.Value, alone.SilentAt!.Value);
            foreach (var (id, pulse) in _pulses)
            {
                if (pulse.Stuck is { } stuck)
                    yield return new SensorStuck(
                        _site,
                        stuck.Since + SeriesPulse.LongestSameValue,
                        id,
                        pulse.Quantity,
                        stuck.Value,
                        stuck.Since);
            }
        }
    }

    /// <summary>A sensor spoke. First lets time pass to the arrival.</summary>
    /// <param name="series">The series' id; one that the site does not have is a bug of the caller.</param>
    /// <param name="value">Its value, in the quantity's unit.</param>
    /// <param name="arrival">When it arrived, UTC; not before the arrival before.</param>
    /// <param name="counts">It tells of the time of its arrival, or lately before; otherwise it only says that the sensor lives.</param>
    /// <returns>What came about up to then, in the order of time.</returns>
    public IReadOnlyList<Occasion> Accept(string series, double value, DateTimeOffset arrival, bool counts = true)
    {
        if (!_pulses.TryGetValue(series, out var pulse))
            throw new ArgumentException($"The site {_site} has no series '{series}'.", nameof(series));
        var found = Silences(arrival);
        if (!counts)
        {
            pulse.HearLate(arrival.ToUniversalTime());
            _nextSilence = arrival < _nextSilence ? arrival : _nextSilence;
            return found ?? (IReadOnlyList<Occasion>)[];
        }

        if (pulse.SilentSince is { } since)
            (found ??= []).Add(new SensorBack(_site, arrival, series, pulse.Quantity, since) { WasLate = pulse.IsLate });
        if (pulse.Hear(value, arrival.ToUniversalTime(), _outages.AnyKnown(pulse.LastHeard, arrival)) is { } stuckSince)
            (found ??= []).Add(new SensorStuck(_site, arrival, series, pulse.Quantity, value, stuckSince));
        if (pulse.SpeaksUntil < _nextSilence)
            _nextSilence = pulse.SpeaksUntil;
        return found ?? (IReadOnlyList<Occasion>)[];
    }

    /// <summary>Time passed: finds the sensors that have been silent too long by then.</summary>
    public IReadOnlyList<Occasion> AdvanceTo(DateTimeOffset now) => Silences(now) ?? (IReadOnlyList<Occasion>)[];

    /// <summary>The order of time; of one moment, of names.</summary>
    internal static int ByTime(Occasion one, Occasion other) =>
        one.At.CompareTo(other.At) is var byTime and not 0 ? byTime : string.CompareOrdinal(one.Subject, other.Subject);

    private SensorSilent Silent(string series, SeriesPulse pulse, DateTimeOffset since, DateTimeOffset at) =>
        new(_site, at, series, pulse.Quantity, since) { Unheard = _outages.AnyKnown(since, at), IsLate = pulse.IsLate };

    private List<Occasion>? Silences(DateTimeOffset now)
    {
        if (now < _nextSilence)
            return null;
        List<Occasion>? found = null;
        _nextSilence = DateTimeOffset.MaxValue;
        foreach (var (id, pulse) in _pulses)
        {
            // Of one that spoke lately it need not be reckoned when it will be silent.
            if (pulse.SilentSince is not null || (pulse.SpeaksUntil > now ? pulse.SpeaksUntil : pulse.SilentAt) is not { } at)
                continue;
            if (at > now)
            {
                _nextSilence = at < _nextSilence ? at : _nextSilence;
                continue;
            }

            pulse.SilentSince = pulse.LastHeard;
            (found ??= []).Add(Silent(id, pulse, pulse.LastHeard, at));
        }

        found?.Sort(ByTime);
        return found;
    }
}
