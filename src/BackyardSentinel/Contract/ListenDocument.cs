using BackyardSentinel.Garden;
using BackyardSentinel.Weather;

namespace BackyardSentinel.Contract;

/// <summary>listen --json: what was heard, and what the garden file could name of it.</summary>
/// <param name="Broker">Host and port of the broker; null for --payload.</param>
/// <param name="Seconds">How long was listened, s; null for --payload.</param>
/// <param name="Messages">How many messages came, without the program's own.</param>
/// <param name="Topics">On how many topics.</param>
/// <param name="OwnTopics">How many topics of the program's own came and were left out.</param>
/// <param name="Truncated">More came than is told here; listen to part of it with --topic.</param>
/// <param name="Read">What the garden file's series read already, one for each value.</param>
/// <param name="Proposed">One for each series that the garden file could have.</param>
/// <param name="Others">What else came, with the reason why it is not proposed.</param>
[SchemaFile("listen")]
public sealed record ListenDocument(
    string? Broker,
    [Bounds(0)] double? Seconds,
    [Bounds(0)] int Messages,
    [Bounds(0)] int Topics,
    [Bounds(0)] int OwnTopics,
    bool Truncated,
    IReadOnlyList<SeriesRead> Read,
    IReadOnlyList<ProposedSeries> Proposed,
    IReadOnlyList<NotProposed> Others);

/// <summary>What a series of the garden file makes of a message.</summary>
/// <param name="Site">The series' site.</param>
/// <param name="Quantity">What it measures.</param>
/// <param name="Topic">Its topic.</param>
/// <param name="Path">Its path; null: the message is the number.</param>
/// <param name="Value">The last reading, in the quantity's unit; null: none came of it.</param>
/// <param name="Remarks">Why there is none, or what is odd about it.</param>
public sealed record SeriesRead(
    string Site, Quantity Quantity, string Topic, string? Path, double? Value, IReadOnlyList<string> Remarks);

/// <summary>A series that the garden file could have.</summary>
/// <param name="Quantity">What it probably measures.</param>
/// <param name="Topic">Its topic.</param>
/// <param name="Path">Where the value is in the message; null: it is the message.</param>
/// <param name="Shape">How the message arranges its values, as the garden file spells it.</param>
/// <param name="Unit">The unit it is sent in, as the garden file spells it; null for words.</param>
/// <param name="Scale">Factor on the number as sent.</param>
/// <param name="Counts">Rain only: what the number is.</param>
/// <param name="Sureness">How sure that is.</param>
/// <param name="Because">What speaks for it.</param>
/// <param name="Doubts">What to look at before it is used.</param>
/// <param name="Messages">How many messages brought it.</param>
/// <param name="Retained">How many of them were the broker's kept copy.</param>
/// <param name="EverySeconds">The usual time between two messages, s; null: fewer than two came live.</param>
/// <param name="Lowest">The lowest number, as sent.</param>
/// <param name="Highest">The highest number, as sent.</param>
/// <param name="Last">The last number, as sent.</param>
/// <param name="Gives">What the block makes of the last message, in the quantity's unit; null: a first total or rate, from which
/// rain is counted on.</param>
/// <param name="Block">The lines for the garden file, below series.</param>
public sealed record ProposedSeries(
    Quantity Quantity,
    string Topic,
    string? Path,
    string Shape,
    string? Unit,
    double Scale,
    RainCount? Counts,
    Sureness Sureness,
    IReadOnlyList<string> Because,
    IReadOnlyList<string> Doubts,
    [Bounds(1)] int Messages,
    [Bounds(0)] int Retained,
    [Bounds(0)] double? EverySeconds,
    double? Lowest,
    double? Highest,
    double? Last,
    double? Gives,
    string Block);

/// <summary>What came and is not proposed.</summary>
/// <param name="Topic">The topic.</param>
/// <param name="Path">Where the value is in the message; null: the message, or all of it.</param>
/// <param name="Last">The last number, as sent; null: none.</param>
/// <param name="Reason">Why not.</param>
public sealed record NotProposed([Bounds(0)] string Topic, string? Path, double? Last, string Reason);
