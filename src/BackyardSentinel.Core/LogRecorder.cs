using BackyardSentinel.Garden;
using BackyardSentinel.Tuning;

namespace BackyardSentinel;

/// <summary>Keeps what a site's rules are given, to ask others of it: give <see cref="Note"/> to its feed.</summary>
/// <param name="site">The site.</param>
public sealed class LogRecorder(Site site)
{
    /// <summary>What was kept.</summary>
    public Recording Recording { get; } = new(site);

    /// <summary>A watch has judged an interval.</summary>
    public void Note(SiteWatch watch)
    {
        Recording.Add(watch.LastInterval!.Value);
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
