using BackyardSentinel.Infection;

namespace BackyardSentinel.Contract;

/// <summary>alert list --json: what was sent, and whether the way to the phone works.</summary>
/// <param name="Path">The way to the phone.</param>
/// <param name="Alerts">One for each alert and destination, oldest first.</param>
[SchemaFile("alert-list")]
public sealed record AlertListDocument(AlertPathTopic Path, IReadOnlyList<ListedAlert> Alerts);

/// <summary>An alert on its way to one destination.</summary>
/// <param name="Id">The same at every attempt and after a restart.</param>
/// <param name="Episode">What it belongs to; what you answer to.</param>
/// <param name="To">The destination's id in the garden file.</param>
/// <param name="State">What became of it.</param>
/// <param name="Kind">The occasion; null: the message cannot be read any more.</param>
/// <param name="Level">The level it tells; null where it tells none.</param>
/// <param name="Title">The title as it was sent.</param>
/// <param name="Text">The text as it was sent.</param>
/// <param name="At">When it was made, UTC.</param>
/// <param name="UsefulUntil">Until when it is worth sending, UTC.</param>
/// <param name="Attempts">Attempts that failed.</param>
/// <param name="NextAttemptAt">While it waits: when it is tried next, UTC.</param>
/// <param name="EndedAt">When it ended, UTC; null while it waits.</param>
/// <param name="LastAnswer">What the destination, or the program for it, said last.</param>
/// <param name="Answer">Your answer: seen, or later.</param>
/// <param name="LaterUntil">Until when it is put off, UTC.</param>
public sealed record ListedAlert(
    string Id,
    string Episode,
    string To,
    ListedState State,
    string? Kind,
    Level? Level,
    [Bounds(0)] string? Title,
    [Bounds(0)] string? Text,
    DateTimeOffset At,
    DateTimeOffset UsefulUntil,
    [Bounds(0)] int Attempts,
    DateTimeOffset? NextAttemptAt,
    DateTimeOffset? EndedAt,
    [Bounds(0)] string? LastAnswer,
    ListedAnswer? Answer,
    DateTimeOffset? LaterUntil);

/// <summary>What became of an alert; whether a digest has counted it is the outbox's own business.</summary>
public enum ListedState
{
    /// <summary>It is to be sent.</summary>
    Waiting,

    /// <summary>The destination took it.</summary>
    Delivered,

    /// <summary>A newer one took its place.</summary>
    Superseded,

    /// <summary>Its use ended first.</summary>
    Expired,

    /// <summary>The destination will never take it.</summary>
    Rejected,
}

/// <summary>What the grower answered.</summary>
public enum ListedAnswer
{
    /// <summary>Silent until it gets worse.</summary>
    Seen,

    /// <summary>Silent for a time.</summary>
    Later,
}
