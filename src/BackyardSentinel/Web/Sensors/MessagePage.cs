using System.Text;
using BackyardSentinel.Configuration;
using BackyardSentinel.Delivery;
using BackyardSentinel.Proposing;
using BackyardSentinel.Weather;
using BackyardSentinel.Wording;

namespace BackyardSentinel.Web.Sensors;

/// <summary>The page on which a message can be shown, put into words.</summary>
/// <param name="Leaf">What stands round it.</param>
/// <param name="Path">Where the form is sent.</param>
/// <param name="Topic">The message's topic, as it was typed.</param>
/// <param name="Message">The message, as it was pasted.</param>
/// <param name="Fault">What is wrong with the topic; <c>null</c>: nothing.</param>
/// <param name="Read">What the garden file's series make of it: what, and what is odd.</param>
/// <param name="Proposed">Series that the garden file could have.</param>
/// <param name="Others">What is not proposed, and why; without a reason: how many more there are.</param>
/// <param name="ListenPath">Where listening is asked for; <c>null</c>: it is not to be had here, or goes on already.</param>
/// <param name="Heard">What is heard, a sentence each; empty: nobody listens.</param>
/// <param name="Trouble">What the broker says against it, a sentence each.</param>
public sealed record MessageView(
    Leaf Leaf,
    string Path,
    string Topic,
    string Message,
    string? Fault,
    IReadOnlyList<(string What, IReadOnlyList<Sentence> Remarks)> Read,
    IReadOnlyList<ProposalView> Proposed,
    IReadOnlyList<(string Where, Sentence? Why)> Others,
    string? ListenPath,
    IReadOnlyList<string> Heard,
    IReadOnlyList<Sentence> Trouble);

/// <summary>A series that the garden file could have.</summary>
/// <param name="What">What it is, how sure that is, and what it gives.</param>
/// <param name="Doubts">What to look at.</param>
/// <param name="Block">Its lines for the garden file.</param>
public sealed record ProposalView(string What, IReadOnlyList<Sentence> Doubts, string Block)
{
    /// <summary>Puts a proposal into words.</summary>
    /// <param name="proposal">The proposal.</param>
    /// <param name="words">The words.</param>
    internal static ProposalView Of(SeriesProposal proposal, PageWords words) => new(
        words.Say(
            "message.proposed",
            ("sure", words.Say("message.sure." + proposal.Guess.Sureness.Word())),
            ("gives", words.Say(proposal.GivesInWords))),
        proposal.Doubts,
        string.Join('\n', proposal.Block.Lines));
}

/// <summary>The part of a page that shows one of them.</summary>
/// <param name="Series">The series.</param>
/// <param name="Words">The words.</param>
public sealed record ProposedView(ProposalView Series, PageWords Words);

/// <summary>The part of a page that asks to listen.</summary>
/// <param name="Leaf">What stands round it.</param>
/// <param name="Path">Where it is asked for.</param>
public sealed record ListenView(Leaf Leaf, string Path);

/// <summary>What do my sensors send? Shows what one message gives, as the command <c>listen</c> does.</summary>
internal static class MessagePage
{
    /// <summary>Where it is.</summary>
    public const string Path = "/sensors/message";

    /// <summary>Where listening is asked for.</summary>
    public const string ListenPath = "/sensors/listen";

    private const int LongestTopic = 1024;

    /// <summary>So many lines of what is not proposed are shown.</summary>
    private const int MostOthers = 40;

    /// <summary>Makes the view.</summary>
    /// <param name="visit">The visit.</param>
    /// <param name="leaf">What stands round it.</param>
    /// <param name="topic">The topic; empty: none was told.</param>
    /// <param name="message">The message; empty: nothing was asked yet.</param>
    /// <param name="ear">Listens; <c>null</c>: there is no broker to listen to.</param>
    /// <param name="now">Now.</param>
    public static MessageView Of(Visit visit, Leaf leaf, string topic, string message, SensorEar? ear, DateTimeOffset now)
    {
        var (words, garden) = (visit.Words, visit.Parts.Garden);
        topic = topic.Trim();
        var fault = topic.AsSpan().ContainsAny('+', '#') || topic.Length > LongestTopic ? words.Say("message.topic.wrong") : null;
        var heard = ear?.Now();
        var view = new MessageView(
            leaf,
            visit.Link(Path),
            topic,
            message,
            fault,
            [],
            [],
            [],
            ListenPathFor(visit, ear, heard),
            heard is null ? [] : [.. Heard(words, heard, now)],
            heard is null ? [] : heard.Trouble);
        if (message.Length == 0 && heard is not null)
            return With(view, words, heard.Result);
        if (message.Length == 0 || fault is not null)
            return view;
        var result = ListenResult.OfMessage(
            garden,
            new HeardMessages(new OwnTopics(garden.Broker, garden.Sites)),
            topic.Length > 0 ? topic : null,
            Encoding.UTF8.GetBytes(message),
            now);
        return With(view, words, result);
    }

    /// <summary>Where listening is asked for; <c>null</c>: it is not to be had here, or goes on already.</summary>
    /// <param name="visit">The visit.</param>
    /// <param name="ear">Listens; <c>null</c>: there is no broker to listen to.</param>
    /// <param name="heard">What it has heard; <c>null</c>: nobody asked.</param>
    public static string? ListenPathFor(Visit visit, SensorEar? ear, HeardSoFar? heard) =>
        ear is null || heard is { IsRunning: true } ? null : visit.Link(ListenPath);

    private static IEnumerable<string> Heard(PageWords words, HeardSoFar heard, DateTimeOffset now)
    {
        yield return words.Count(
            heard.IsRunning ? "message.listening" : "message.heard",
            heard.Result.Messages,
            ("topics", words.Number(heard.Result.Topics)),
            ("from", words.Moment(heard.Began, now)),
            ("until", words.Moment(heard.Ends, now)));
        if (heard.IsFull)
            yield return words.Say("message.full");
    }

    private static MessageView With(MessageView view, PageWords words, ListenResult result)
    {
        return view with
        {
            Read =
            [
                .. result.Read.Select(one => (
                    words.Say(
                        "message.read",
                        ("where", Where(one.Series.Topic, one.Series.Path)),
                        ("site", one.Series.SiteId),
                        ("value", one.Value is { } value ? words.Value(one.Series.Quantity, value) : words.Say("message.none"))),
                    one.Remarks)),
            ],
            Proposed = [.. result.Proposed.Select(one => ProposalView.Of(one, words))],
            Others =
                [
                    .. result.Others.Take(MostOthers).Select(one => (
                        Where(one.Topic == ListenResult.AnyTopic ? "" : one.Topic, one.Path) is { Length: > 0 } where ? $"{where}: " : "",
                        (Sentence?)one.Reason)),
                    .. result.Others.Count > MostOthers
                        ? new[] { (words.Count("message.others.more", result.Others.Count - MostOthers), (Sentence?)null) }
                        : [],
                ],
        };
    }

    private static string Where(string topic, string? path) => path is null ? topic : $"{topic} {path}".Trim();
}
