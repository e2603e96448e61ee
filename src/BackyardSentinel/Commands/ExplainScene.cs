using BackyardSentinel.Configuration;
using BackyardSentinel.Hosting;
using BackyardSentinel.Weather;

namespace BackyardSentinel.Commands;

/// <summary>A site at a moment: what every part of an explanation looks at.</summary>
/// <param name="Garden">The site in the garden file.</param>
/// <param name="Watch">Its watch, fed until the moment; at least one interval has been judged.</param>
/// <param name="Season">The stored season behind it.</param>
internal sealed record ExplainScene(GardenSite Garden, SiteWatch Watch, StoredSeason Season)
{
    /// <summary>The moment, UTC.</summary>
    public DateTimeOffset At => Season.At;

    /// <summary>The local day of the moment.</summary>
    public DateOnly Today => LocalDay.Of(At, Garden.Zone);

    /// <summary>A moment in the site's local time.</summary>
    public string Local(DateTimeOffset moment) => ExplainWords.Local(moment, Garden.Zone);
}
