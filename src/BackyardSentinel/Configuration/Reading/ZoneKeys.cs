using BackyardSentinel.Configuration.Yaml;

namespace BackyardSentinel.Configuration.Reading;

/// <summary>Reads a key that names a time zone.</summary>
internal static class ZoneKeys
{
    /// <summary>The zone under <c>zone</c>, or <c>null</c> when the key is left out without a default or wrong.</summary>
    public static TimeZoneInfo? Read(SectionReader keys, ProblemList problems)
    {
        if (keys.Text("zone") is not { } name)
            return null;
        if (name == "UTC")
            return TimeZoneInfo.Utc;
        if (TimeZoneInfo.TryFindSystemTimeZoneById(name, out var zone) && zone.HasIanaId)
            return zone;
        var known = TimeZoneInfo.GetSystemTimeZones().Select(z => z.Id).ToList();
        var why = known.Count < 10 ? "this computer has no time zone data" : "this computer knows no such time zone";
        problems.Error(
            keys.Place("zone"),
            $"'zone' cannot be {ProblemList.Quote(name)}: {why}",
            keys.Range("zone"),
            NearestWord.Find(name, known));
        return null;
    }
}
