using BackyardSentinel.Alerting;
using BackyardSentinel.Delivery;
using BackyardSentinel.Guards;

namespace BackyardSentinel.Configuration;

/// <summary>Which alerts, when, to whom.</summary>
public sealed record AlertSettings
{
    /// <summary>How much a phone may be asked to bear.</summary>
    public AlertPolicyOptions Policy { get; init; } = new();

    /// <summary>Path of the file with the messages' words; <c>null</c>: the words that come with the program.</summary>
    public string? WordsPath { get; init; }

    /// <summary>Address fetched at a steady pace so that a watcher notices silence; <c>null</c>: none.</summary>
    public KeptValue? Heartbeat { get; init; }

    /// <summary>The heartbeat's pace, 5 min to 24 h.</summary>
    public TimeSpan HeartbeatEvery { get; init; } = TimeSpan.FromMinutes(60);

    /// <summary>Who is told; what is kept elsewhere is not fetched yet.</summary>
    public IReadOnlyList<ReceiverSettings> Receivers { get; init; } = [];
}
