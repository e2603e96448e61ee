namespace BackyardSentinel.Alerting;

/// <summary>
/// Cause and effect among silences: sensors that fall silent together are one silent hub, a silent hub explains its
/// sensors, and a return is told only where the silence was.
/// </summary>
internal sealed class SilenceBook(WaitingRoom waiting, EpisodeBook book)
{
    private readonly Dictionary<string, Hub> _hubs = [];
    private readonly HashSet<string> _told = [];
    private readonly Dictionary<string, DateTimeOffset> _spoken = [];

    /// <summary>Says why an occasion is explained by another; <c>null</c> when it stands for itself.</summary>
    /// <param name="occasion">Any occasion.</param>
    /// <param name="returned">A hub's return that the occasion gives rise to.</param>
    public DropReason? Screen(Occasion occasion, out SensorsBack? returned)
    {
        returned = null;
        return occasion switch
        {
            SensorSilent silent => Screen(silent),
            SensorBack back => Screen(back, out returned),
            SensorsSilent silent => Screen(silent),
            SensorsBack back => Screen(back),
            _ => null,
        };
    }

    /// <summary>Makes one silent hub of the sensors of a site that fell silent within the grace, if there are several.</summary>
    /// <param name="first">The one whose grace is over.</param>
    /// <param name="others">Those of the same site whose grace still runs.</param>
    public SensorsSilent? Gather(SensorSilent first, IReadOnlyList<SensorSilent> others)
    {
        if (others.Count == 0)
            return null;
        SensorSilent[] all = [first, .. others];
        var hub = new SensorsSilent(first.Site!, all.Min(sensor => sensor.At), all.Length, all.Min(sensor => sensor.Since))
        {
            Unheard = all.All(sensor => sensor.Unheard),
            IsLate = all.All(sensor => sensor.IsLate),
        };
        _hubs[first.Site!] = new Hub(hub.Since, hub.IsLate, [.. all.Select(sensor => sensor.Subject)]);
        foreach (var sensor in all)
            waiting.Note(new Drop(sensor, DropReason.ToldAsHub));
        return hub;
    }

    /// <summary>An occasion goes out: remembers what has been told, and brings a hub's return up to date.</summary>
    public Occasion Tell(Occasion occasion)
    {
        switch (occasion)
        {
            case SensorSilent:
                _told.Add(occasion.Subject);
                return occasion;
            case SensorsSilent:
                _hubs[occasion.Site!].Told = true;
                return occasion;
            case SensorsBack back:
                var hub = End(back);
                return back with
                {
                    SilentSince = hub.Since,
                    WereLate = hub.IsLate,
                    Back = hub.Known.Count - hub.Silent.Count,
                    StillSilent = hub.Silent.Count,
                };
            default:
                return occasion;
        }
    }

    /// <summary>A hub's return has been told, or will not be: its silence explains nothing any more.</summary>
    public Hub End(SensorsBack back)
    {
        _hubs.Remove(back.Site!, out var hub);
        // Those still silent have been told of by number; their own return is news.
        _told.UnionWith(hub!.Silent);
        return hub;
    }

    /// <summary>A hub's return came to nothing when each of its sensors is silent again.</summary>
    public bool IsVoid(SensorsBack back)
    {
        var hub = _hubs[back.Site!];
        var isVoid = hub.Known.Count > 0 && hub.Silent.Count == hub.Known.Count;
        if (isVoid)
            GoOn(hub, back);
        return isVoid;
    }

    private DropReason? Screen(SensorSilent silent)
    {
        if (_spoken.TryGetValue(silent.Subject, out var since) && silent.Since <= since)
            return DropReason.SpokenSince;
        if (_hubs.TryGetValue(silent.Site!, out var hub))
        {
            hub.Known.Add(silent.Subject);
            hub.Silent.Add(silent.Subject);
            return DropReason.HubSilent;
        }

        if (waiting.Drop(held => held is SensorBack && held.Subject == silent.Subject, DropReason.SilentAgain).Count == 0)
            return null;
        _told.Add(silent.Subject);
        return DropReason.SilenceGoesOn;
    }

    private DropReason? Screen(SensorBack back, out SensorsBack? returned)
    {
        returned = null;
        _spoken[back.Subject] = back.SilentSince;
        if (waiting.Drop(held => held is SensorSilent && held.Subject == back.Subject, DropReason.SpokeAgain).Count > 0)
            return DropReason.SilenceNotTold;
        if (_told.Remove(back.Subject))
            return null;
        if (!_hubs.TryGetValue(back.Site!, out var hub) || !hub.Silent.Remove(back.Subject))
            return DropReason.SilenceNotTold;

        if (!hub.Told)
        {
            if (hub.Silent.Count == 0)
                Forget(back.Site!);
            return DropReason.SilenceNotTold;
        }

        if (!hub.Returning)
            returned = new SensorsBack(back.Site!, back.At, hub.Since, 1, hub.Silent.Count);
        hub.Returning = true;
        return DropReason.HubReturns;
    }

    private DropReason? Screen(SensorsSilent silent)
    {
        if (_hubs.TryGetValue(silent.Site!, out var known))
        {
            foreach (var back in waiting.Drop(held => held is SensorsBack && held.Site == silent.Site, DropReason.SilentAgain))
                GoOn(known, back);
            return DropReason.HubSilent;
        }

        var sensors = waiting.Drop(held => held is SensorSilent && held.Site == silent.Site, DropReason.HubSilent);
        _hubs[silent.Site!] = new Hub(silent.Since, silent.IsLate, [.. sensors.Select(sensor => sensor.Subject)]);
        return null;
    }

    private DropReason? Screen(SensorsBack back)
    {
        if (!_hubs.TryGetValue(back.Site!, out var hub))
            return DropReason.SilenceNotTold;
        if (!hub.Told)
        {
            Forget(back.Site!);
            return DropReason.SilenceNotTold;
        }

        if (hub.Returning)
            return DropReason.HubReturns;
        hub.Returning = true;
        return null;
    }

    /// <summary>The hub is silent still; when it really comes back, that is news.</summary>
    private void GoOn(Hub hub, Occasion back)
    {
        hub.Returning = false;
        book.GiveBack(back);
    }

    private void Forget(string site)
    {
        _hubs.Remove(site);
        waiting.Drop(held => held is SensorsSilent && held.Site == site, DropReason.SpokeAgain);
    }

    /// <summary>A silent hub and the sensors it explains, by subject.</summary>
    public sealed class Hub(DateTimeOffset since, bool isLate, HashSet<string> silent)
    {
        public DateTimeOffset Since => since;

        public bool IsLate => isLate;

        public HashSet<string> Silent { get; } = silent;

        public HashSet<string> Known { get; } = [.. silent];

        public bool Told { get; set; }

        public bool Returning { get; set; }
    }
}
