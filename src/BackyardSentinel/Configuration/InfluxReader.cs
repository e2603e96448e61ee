using BackyardSentinel.Configuration.Keys;
using BackyardSentinel.Configuration.Reading;
using BackyardSentinel.Configuration.Yaml;

namespace BackyardSentinel.Configuration;

/// <summary>Reads the part <c>influx</c>.</summary>
internal static class InfluxReader
{
    public static InfluxSettings? Read(YamlMapping? map, ProblemList problems)
    {
        if (map is null)
            return null;
        SectionReader keys = new(map, InfluxKeys.Influx, problems);
        var url = SecretKeys.Address(keys, "url", problems);
        var token = SecretKeys.Reference(keys, "token", $"token", problems);
        var named = keys.Choices<ForwardedKind>("what", ForwardedKindWords.Word);
        if (keys.Node("what") is YamlSequence { Items.Count: 0 } nothing)
            problems.Error(
                nothing,
                $"'what' names nothing, so nothing would be written",
                $"at least one of its words, or no 'what' to write everything");
        var what = Enum.GetValues<ForwardedKind>().Where(kind => named.Count == 0 || named.Contains(kind));
        return url is null || token is null || keys.Text("org") is not { } org || keys.Text("bucket") is not { } bucket
            ? null
            : new InfluxSettings(url, org, bucket, token, [.. what]);
    }
}
