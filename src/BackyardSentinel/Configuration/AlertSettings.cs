using BackyardSentinel.Infection;

namespace BackyardSentinel.Configuration;

/// <summary>Which alerts, when, to whom.</summary>
public sealed record AlertSettings
{
    /// <summary>The lowest level of which a message tells.</summary>
    public Level LeastLevel { get; init; } = Level.Possible;

    /// <summary>Most messages on one local day, 1 to 50.</summary>
    public int MaxPerDay { get; init; } = 6;

    /// <summary>Start of the quiet hours, local time; <c>null</c>, like their end, when there are none.</summary>
    public TimeOnly? QuietFrom { get; init; }

    /// <summary>End of the quiet hours, local time; another time than their start.</summary>
    public TimeOnly? QuietTo { get; init; }

    /// <summary>A severe level is told in quiet hours too.</summary>
    public bool SevereInQuiet { get; init; }

    /// <summary>Path of the file with the messages' words; <c>null</c>: the words that come with the program.</summary>
    public string? WordsPath { get; init; }

    /// <summary>Address fetched at a steady pace so that a watcher notices silence; <c>null</c>: none.</summary>
    public GardenValue? Heartbeat { get; init; }

    /// <summary>The heartbeat's pace, 5 min to 24 h.</summary>
    public TimeSpan HeartbeatEvery { get; init; } = TimeSpan.FromMinutes(60);

    /// <summary>Who is told.</summary>
    public IReadOnlyList<GardenReceiver> Receivers { get; init; } = [];
}
