using System.Text;
using BackyardSentinel.Wording;

namespace BackyardSentinel.Configuration.Reading;

/// <summary>Checks MQTT topic names.</summary>
internal static class TopicText
{
    /// <summary>The level of a sensor's topic that stands for the id of its site.</summary>
    public const string Site = "{site}";

    /// <summary>What is wrong with a topic that is read, or <c>null</c>.</summary>
    /// <param name="topic">The topic.</param>
    /// <param name="one">Why it cannot be many.</param>
    public static Sentence? Fault(string topic, Sentence one)
    {
        if (topic.StartsWith("$share/", StringComparison.Ordinal))
            return $"'$share/…' splits messages among several readers, so readings would be missed";
        if (topic.StartsWith('$'))
            return $"topics that start with '$' belong to the broker itself";
        if (topic.AsSpan().ContainsAny('+', '#'))
            return $"'+' and '#' stand for many topics, and {one}";
        if (topic.Any(char.IsControl))
            return $"it holds a control character";
        return Encoding.UTF8.GetByteCount(topic) > 1024 ? (Sentence)$"it is longer than 1024 bytes" : null;
    }

    /// <summary>What is wrong with a sensor's topic, or <c>null</c>.</summary>
    public static Sentence? SensorFault(string topic) =>
        Fault(topic, $"a series is one sensor of each site; {new Name(Site)} stands for the site's id")
        ?? (topic.Split('/').Any(level => level.AsSpan().ContainsAny('{', '}') && level != Site)
            ? (Sentence)$"a part in braces stands for a whole level between slashes, and {new Name(Site)} is the one that is known"
            : null);

    /// <summary>What is wrong with the first part of the published topics, or <c>null</c>.</summary>
    public static Sentence? BaseFault(string topic) =>
        Fault(topic, $"a published topic is one")
        ?? (topic.StartsWith('/') || topic.EndsWith('/') ? (Sentence)$"'/' at the start or end makes an empty level" : null);
}
