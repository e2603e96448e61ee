using BackyardSentinel.Configuration.Reading;
using BackyardSentinel.Configuration.Yaml;
using BackyardSentinel.Garden;
using BackyardSentinel.Wording;

namespace BackyardSentinel.Configuration;

/// <summary>Checks a site's coordinates.</summary>
internal static class PlaceCheck
{
    public static void Check(SectionReader keys, Site site, ProblemList problems)
    {
        BothOrNone(keys, "latitude", "longitude", $"a place needs both", problems);
        if (!keys.Has("latitude") && !keys.Has("longitude") && site.Plantings.Any(p => p.Follows is not null))
            problems.Note(
                keys.Place("plantings"),
                $"without coordinates the season's start is not known, so bud stages come from the journal only");
        if (site.LongitudeDeg is { } longitude && keys.Has("zone") && Math.Abs(HoursApart(longitude, site.Zone)) > 3)
            problems.Note(
                keys.Place("longitude"),
                $"noon at longitude {longitude:0.##} is {Math.Abs(HoursApart(longitude, site.Zone)):0} hours from noon of the zone "
                    + $"{new Name(site.Zone.Id)}: one of them is wrong, and spraying hours would be offered in the dark; "
                    + $"is a minus missing? (west is negative)");
    }

    /// <summary>How far the sun's noon lies from the clock's, hours, the short way round.</summary>
    private static double HoursApart(double longitude, TimeZoneInfo zone) =>
        Math.IEEERemainder((longitude / 15) - zone.BaseUtcOffset.TotalHours, 24);

    /// <summary>Says it as an error where one of two keys is there without the other.</summary>
    public static void BothOrNone(SectionReader keys, string one, string other, Sentence why, ProblemList problems)
    {
        if (keys.Has(one) == keys.Has(other))
            return;
        var (given, missing) = keys.Has(one) ? (one, other) : (other, one);
        problems.Error(keys.Place(given), $"there is '{new Name(given)}' without '{new Name(missing)}'; {why}", $"both keys or neither");
    }
}
