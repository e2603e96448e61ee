using BackyardSentinel.Configuration.Keys;
using BackyardSentinel.Configuration.Yaml;
using BackyardSentinel.Wording;

namespace BackyardSentinel.Configuration.Reading;

/// <summary>Reads the short ids of sites, plantings, products and receivers.</summary>
internal static class IdText
{
    /// <summary>The id, checked for its letters and for being the only one of its name.</summary>
    /// <param name="keys">The part.</param>
    /// <param name="taken">The ids that are taken, with their places.</param>
    /// <param name="what">What has the id.</param>
    /// <param name="problems">Where problems go.</param>
    /// <param name="use">What it is used as; part of a topic unless given.</param>
    /// <param name="confused">What could not tell two apart; alerts unless given.</param>
    public static string Read(
        SectionReader keys,
        Dictionary<string, YamlNode> taken,
        Sentence what,
        ProblemList problems,
        Sentence? use = null,
        Sentence? confused = null)
    {
        if (keys.Scalar("id") is not { } scalar)
            return "?";
        var id = scalar.Value;
        if (!IsId(id))
        {
            var proposal = string.Concat(id.Trim().ToLowerInvariant().Select(c => c is ' ' or '_' or '.' ? '-' : c));
            problems.Error(
                scalar,
                $"the {what} id {ProblemList.Quote(id)} cannot be {use ?? $"part of a topic"}",
                SiteKeys.Site["id"].Range,
                IsId(proposal) ? proposal : null);
        }
        else if (!taken.TryAdd(id, scalar))
            problems.Error(
                scalar,
                $"the {what} id '{new Name(id)}' is already used in {taken[id].Where}; "
                    + $"{confused ?? $"alerts"} could not tell the two apart",
                $"an id of its own");
        return id;
    }

    internal static bool IsId(string id) =>
        id.Length is > 0 and <= 40 && id[0] != '-' && id.All(c => c is >= 'a' and <= 'z' or >= '0' and <= '9' or '-');
}
