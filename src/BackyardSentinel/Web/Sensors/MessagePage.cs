using System.Text;
using BackyardSentinel.Configuration;
using BackyardSentinel.Proposing;

namespace BackyardSentinel.Web.Sensors;

/// <summary>The page on which a message can be shown, put into words.</summary>
/// <param name="Leaf">What stands round it.</param>
/// <param name="Path">Where the form is sent.</param>
/// <param name="Topic">The message's topic, as it was typed.</param>
/// <param name="Message">The message, as it was pasted.</param>
/// <param name="Fault">What is wrong with the topic; <c>null</c>: nothing.</param>
/// <param name="Read">What the garden file's series make of it: what, and what is odd.</param>
/// <param name="Proposed">Series that the garden file could have.</param>
/// <param name="Others">What is not proposed, and why.</param>
public sealed record MessageView(
    Leaf Leaf,
    string Path,
    string Topic,
    string Message,
    string? Fault,
    IReadOnlyList<(string What, IReadOnlyList<string> Remarks)> Read,
    IReadOnlyList<ProposalView> Proposed,
    IReadOnlyList<string> Others);

/// <summary>A series that the garden file could have.</summary>
/// <param name="What">What it is, how sure that is, and what it gives.</param>
/// <param name="Doubts">What to look at.</param>
/// <param name="Block">Its lines for the garden file.</param>
public sealed record ProposalView(string What, IReadOnlyList<string> Doubts, string Block);

/// <summary>What do my sensors send? Shows what one message gives, as the command <c>listen</c> does.</summary>
internal static class MessagePage
{
    /// <summary>Where it is.</summary>
    public const string Path = "/sensors/message";

    private const int LongestTopic = 1024;

    /// <summary>Makes the view.</summary>
    /// <param name="visit">The visit.</param>
    /// <param name="leaf">What stands round it.</param>
    /// <param name="topic">The topic; empty: none was told.</param>
    /// <param name="message">The message; empty: nothing was asked yet.</param>
    /// <param name="now">Now.</param>
    public static MessageView Of(Visit visit, Leaf leaf, string topic, string message, DateTimeOffset now)
    {
        var (words, garden) = (visit.Words, visit.Parts.Garden);
        topic = topic.Trim();
        var fault = topic.AsSpan().ContainsAny('+', '#') || topic.Length > LongestTopic ? words.Say("message.topic.wrong") : null;
        var view = new MessageView(leaf, visit.Link(Path), topic, message, fault, [], [], []);
        if (message.Length == 0 || fault is not null)
            return view;
        var result = ListenResult.OfMessage(
            garden,
            new Hearing(new OwnTopics(garden.Broker, garden.Sites)),
            topic.Length > 0 ? topic : null,
            Encoding.UTF8.GetBytes(message),
            now);
        return view with
        {
            Read =
            [
                .. result.Read.Select(one => (
                    words.Say(
                        "message.read",
                        ("where", Where(one.Topic, one.Path)),
                        ("site", one.Site),
                        ("value", one.Value is { } value ? words.Value(one.Quantity, value) : words.Say("message.none"))),
                    one.Remarks)),
            ],
            Proposed =
            [
                .. result.Proposed.Select(one => new ProposalView(
                    words.Say(
                        "message.proposed",
                        ("sure", words.Say("message.sure." + one.Guess.Sureness.ToString().ToLowerInvariant())),
                        ("gives", one.GivesInWords)),
                    one.Doubts,
                    string.Join('\n', one.Block.Lines))),
            ],
            Others =
                [
                    .. result.Others.Select(
                        one => $"{Where(one.Topic == ListenResult.AnyTopic ? "" : one.Topic, one.Path)}: {one.Reason}".TrimStart(':', ' ')),
                ],
        };
    }

    private static string Where(string topic, string? path) => path is null ? topic : $"{topic} {path}".Trim();
}
