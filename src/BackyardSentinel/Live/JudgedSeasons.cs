using BackyardSentinel.Configuration;
using BackyardSentinel.Garden;
using BackyardSentinel.Phenology;
using BackyardSentinel.Weather;

namespace BackyardSentinel.Live;

/// <summary>How far back a judgement reads: the service and the commands that look at its store read the same.</summary>
internal static class JudgedSeasons
{
    /// <summary>
    /// Start of the season before the one of a moment, UTC, that of the site where it is earliest: two seasons are enough to judge
    /// this one, with the year behind it for the expected bud swell, and nothing takes longer with every year.
    /// </summary>
    public static DateTimeOffset StartFor(GardenFile garden, DateTimeOffset at)
    {
        return garden.Sites.Min(StartAt);

        DateTimeOffset StartAt(Site site)
        {
            var season = new SeasonCalendar(site.LatitudeDeg ?? 0).SeasonOf(LocalDay.Of(at, site.Zone))!.Value;
            return LocalDay.StartOf(season.Start.AddYears(-1), site.Zone);
        }
    }
}
