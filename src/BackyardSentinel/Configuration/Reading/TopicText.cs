using System.Text;

namespace BackyardSentinel.Configuration.Reading;

/// <summary>Checks MQTT topic names.</summary>
internal static class TopicText
{
    /// <summary>What is wrong with a topic to read one sensor from, or <c>null</c>.</summary>
    public static string? Fault(string topic)
    {
        if (topic.StartsWith("$share/", StringComparison.Ordinal))
            return "'$share/…' splits messages among several readers, so readings would be missed";
        if (topic.StartsWith('$'))
            return "topics that start with '$' belong to the broker itself";
        if (topic.AsSpan().ContainsAny('+', '#'))
            return "'+' and '#' stand for many topics, and a series is one sensor";
        if (topic.Any(char.IsControl))
            return "it holds a control character";
        return Encoding.UTF8.GetByteCount(topic) > 1024 ? "it is longer than 1024 bytes" : null;
    }

    /// <summary>The level of a sensor's topic that stands for the id of its site.</summary>
    public const string Site = "{site}";

    /// <summary>What is wrong with a sensor's topic, or <c>null</c>.</summary>
    public static string? SensorFault(string topic) =>
        Fault(topic) is { } fault ? fault.Replace(
            "a series is one sensor", "a series is one sensor of each site; {site} stands for the site's id", StringComparison.Ordinal)
        : topic.Split('/').Any(level => level.AsSpan().ContainsAny('{', '}') && level != Site)
            ? "a part in braces stands for a whole level between slashes, and {site} is the one that is known"
        : null;

    /// <summary>What is wrong with the first part of the published topics, or <c>null</c>.</summary>
    public static string? BaseFault(string topic) =>
        Fault(topic) is { } fault ? fault.Replace("a series is one sensor", "a published topic is one", StringComparison.Ordinal)
        : topic.StartsWith('/') || topic.EndsWith('/') ? "'/' at the start or end makes an empty level"
        : null;
}
