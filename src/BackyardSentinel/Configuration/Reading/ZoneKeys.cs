using BackyardSentinel.Configuration.Yaml;
using BackyardSentinel.Wording;

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
        problems.Error(
            keys.Place("zone"),
            known.Count < 10
                ? (Sentence)$"'zone' cannot be {ProblemList.Quote(name)}: this computer has no time zone data"
                : $"'zone' cannot be {ProblemList.Quote(name)}: this computer knows no such time zone",
            keys.Range("zone"),
            NearestWord.Find(name, known));
        return null;
    }
}
