using BackyardSentinel.Configuration.Yaml;

namespace BackyardSentinel.Configuration;

/// <summary>The topics that the program itself writes or is answered on: what comes by them is no sensor's and no forecast.</summary>
internal sealed class OwnTopics(BrokerSettings broker, IReadOnlyList<GardenSite> sites)
{
    private readonly HashSet<string> _topics = new(
        [
            .. new[] { "state", "alert-path", "answer" }.Select(name => $"{broker.TopicRoot}/{name}"),
            .. sites.Select(site => $"{broker.TopicRoot}/{site.Id}/weather"),
            .. sites.SelectMany(site => site.Plantings.Select(planting => $"{broker.TopicRoot}/{site.Id}/{planting.Id}/risk")),
        ],
        StringComparer.Ordinal);

    /// <summary>Says it as an error where a topic is one of them.</summary>
    public void Check(string topic, YamlNode place, ProblemList problems)
    {
        if (_topics.Contains(topic) || topic.StartsWith(broker.TopicRoot + "/alert/", StringComparison.Ordinal))
            problems.Error(
                place,
                $"{ProblemList.Quote(topic)} is a topic that the program itself uses, so nothing else can be read from it",
                "the topic that the sensor or the forecast publishes to");
    }
}
