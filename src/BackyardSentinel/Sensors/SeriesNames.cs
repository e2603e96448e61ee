using BackyardSentinel.Garden;

namespace BackyardSentinel.Sensors;

/// <summary>Reads series back from the names by which a store knows them, where no garden file tells more.</summary>
public static class SeriesNames
{
    /// <summary>
    /// The series of names such as <c>yard/rain/hub/gauge#mm</c>; of a site and quantity the one named first is preferred.
    /// </summary>
    /// <param name="names">The names, in the order in which the store came to know them.</param>
    public static IEnumerable<SeriesMap> Of(IEnumerable<string> names)
    {
        Dictionary<(string, Quantity), int> ranks = [];
        foreach (var name in names)
        {
            var parts = name.Split('/', 3);
            if (parts.Length < 3 || !Enum.TryParse<Quantity>(parts[1], ignoreCase: true, out var quantity))
                continue;
            var topic = parts[2].Split('#', 2);
            var rank = ranks.GetValueOrDefault((parts[0], quantity));
            ranks[(parts[0], quantity)] = rank + 1;
            yield return new SeriesMap
            {
                SiteId = parts[0],
                Quantity = quantity,
                Topic = topic[0],
                Path = topic.Length > 1 ? topic[1] : null,
                Rank = rank,
            };
        }
    }
}
