using BackyardSentinel.Configuration.Yaml;
using BackyardSentinel.Garden;
using BackyardSentinel.Mqtt;

namespace BackyardSentinel.Configuration;

/// <summary>The topics that the program itself writes or is answered on: what comes by them is no sensor's and no forecast.</summary>
internal sealed class OwnTopics(BrokerOptions broker, IReadOnlyList<Site> sites)
{
    private readonly HashSet<string> _topics = new(
        [
            .. new[] { "state", "alert-path", "influx", "answer" }.Select(name => $"{broker.TopicRoot}/{name}"),
            .. sites.Select(site => $"{broker.TopicRoot}/{site.Id}/weather"),
            .. sites.SelectMany(site => site.Plantings.Select(planting => $"{broker.TopicRoot}/{site.Id}/{planting.Id}/risk")),
        ],
        StringComparer.Ordinal);

    /// <summary>Says it as an error where a sensor's topic lies where the program publishes.</summary>
    public void CheckSensor(string topic, YamlNode place, ProblemList problems)
    {
        if (IsHomieDevice(topic))
            problems.Error(
                place,
                $"{ProblemList.Quote(topic)} belongs to the Homie device that the program itself is, so no sensor can be read from it",
                $"the topic that the sensor publishes to");
        else if (Uses(topic))
            Check(topic, place, problems);
        else if (topic == broker.TopicRoot || topic.StartsWith(broker.TopicRoot + "/", StringComparison.Ordinal))
            problems.Error(
                place,
                $"{ProblemList.Quote(topic)} lies under topic_root {ProblemList.Quote(broker.TopicRoot)}, "
                    + $"where the program publishes its own results",
                $"a topic elsewhere, or another 'topic_root' under 'broker'");
    }

    /// <summary>Says it as an error where a topic is one of them.</summary>
    public void Check(string topic, YamlNode place, ProblemList problems)
    {
        if (Uses(topic))
            problems.Error(
                place,
                $"{ProblemList.Quote(topic)} is a topic that the program itself uses, so nothing else can be read from it",
                $"the topic that the sensor or the forecast publishes to");
    }

    /// <summary>The program publishes there, or may: it lies under the topic root, or in the Homie device that it is.</summary>
    public bool IsOurs(string topic) =>
        IsHomieDevice(topic) || topic == broker.TopicRoot || topic.StartsWith(broker.TopicRoot + "/", StringComparison.Ordinal);

    private bool Uses(string topic) =>
        _topics.Contains(topic) || topic.StartsWith(broker.TopicRoot + "/alert/", StringComparison.Ordinal);

    /// <summary>The id is the client id, with digits at its end where that is left out or is itself no Homie id.</summary>
    private bool IsHomieDevice(string topic)
    {
        if (!broker.Homie || topic.Split('/') is not ["homie", "5", var id, ..])
            return false;
        var own = string.Concat((broker.ClientId ?? "sentinel").ToLowerInvariant().Select(c => char.IsAsciiLetterOrDigit(c) ? c : '-'));
        return id == own || ((broker.ClientId is null || own != broker.ClientId) && HasDigitsAfter(id, own));
    }

    private static bool HasDigitsAfter(string id, string own) =>
        id.StartsWith(own + "-", StringComparison.Ordinal)
            && id[(own.Length + 1)..] is { Length: 6 or 8 } rest
            && rest.All(char.IsAsciiHexDigit);
}
