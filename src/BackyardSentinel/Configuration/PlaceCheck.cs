using System.Globalization;
using BackyardSentinel.Configuration.Reading;
using BackyardSentinel.Configuration.Yaml;

namespace BackyardSentinel.Configuration;

/// <summary>Checks a site's coordinates and climate, which only make sense in pairs.</summary>
internal static class PlaceCheck
{
    public static void Check(SectionReader keys, GardenSite site, ProblemList problems)
    {
        BothOrNone(keys, "latitude", "longitude", "a place needs both", problems);
        BothOrNone(keys, "climate_min", "climate_max", "the course of a day needs both", problems);
        if (!keys.Has("latitude") && !keys.Has("longitude") && site.Plantings.Any(p => p.StageSource == StageSource.Followed))
            problems.Note(
                keys.Place("plantings"),
                "without coordinates the season's start is not known, so bud stages come from the journal only");
        if (site.LongitudeDeg is { } longitude && keys.Has("zone") && Math.Abs(HoursApart(longitude, site.Zone)) > 3)
            problems.Note(
                keys.Place("longitude"),
                string.Create(
                    CultureInfo.InvariantCulture,
                    $"noon at longitude {longitude:0.##} is {Math.Abs(HoursApart(longitude, site.Zone)):0} hours from noon of the zone {site.Zone.Id}: one of them is wrong, and spraying hours would be offered in the dark; is a minus missing? (west is negative)"));
        if (site is { ClimateMinC: { } least, ClimateMaxC: { } most })
            CheckMonths(keys, least, most, problems);
    }

    /// <summary>How far the sun's noon lies from the clock's, hours, the short way round.</summary>
    private static double HoursApart(double longitude, TimeZoneInfo zone) =>
        Math.IEEERemainder((longitude / 15) - zone.BaseUtcOffset.TotalHours, 24);

    private static void BothOrNone(SectionReader keys, string one, string other, string why, ProblemList problems)
    {
        if (keys.Has(one) == keys.Has(other))
            return;
        var (given, missing) = keys.Has(one) ? (one, other) : (other, one);
        problems.Error(keys.Place(given), $"there is '{given}' without '{missing}'; {why}", "both keys or neither");
    }

    private static void CheckMonths(SectionReader keys, IReadOnlyList<double> least, IReadOnlyList<double> most, ProblemList problems)
    {
        for (var i = 0; i < least.Count; i++)
        {
            if (least[i] < most[i])
                continue;
            var month = CultureInfo.InvariantCulture.DateTimeFormat.GetMonthName(i + 1);
            var place = ((YamlSequence)keys.Place("climate_max")).Items[i];
            problems.Error(
                place,
                $"the maximum of {month} is not above its minimum in 'climate_min'",
                "a mean daily maximum above the mean daily minimum of the month");
        }
    }
}
