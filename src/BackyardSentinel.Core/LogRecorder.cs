using BackyardSentinel.Tuning;

namespace BackyardSentinel;

/// <summary>Keeps what a site's rules are given, to ask others of it: give <see cref="Note"/> to its feed.</summary>
public sealed class LogRecorder
{
    private int _forgotten;

    /// <summary>What was kept; <c>null</c>: nothing was judged yet.</summary>
    public Recording? Recording { get; private set; }

    /// <summary>A watch has judged an interval.</summary>
    public void Note(SiteWatch watch)
    {
        Recording ??= new Recording(watch.Site) { SymptomDays = [.. watch.Plantings.Select(planting => planting.SymptomDays)] };
        Recording.Add(watch.LastInterval!.Value, watch.RainUnknownSince is not null, watch.TemperatureForgotten != _forgotten);
        _forgotten = watch.TemperatureForgotten;
        for (var i = 0; i < watch.Plantings.Count; i++)
        {
            var planting = watch.Plantings[i];
            var shelter = planting.Shelter;
            Recording.Add(
                i,
                planting.JudgedSusceptibility,
                planting.CoverNow,
                shelter.IsOn ? new UnderRoof(shelter.Wetness, shelter.Spells.NoRainGauge) : null);
        }
    }
}
