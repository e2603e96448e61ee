using System.Globalization;
using BackyardSentinel.Garden;
using BackyardSentinel.Tuning;
using BackyardSentinel.Watching;

namespace BackyardSentinel.Commands.Replay;

/// <summary>Whether the trees would have been covered, had a spray been done on another day.</summary>
/// <param name="Move">The spray.</param>
/// <param name="Windows">The windows of the rule that gives the level, on the plantings that it is about.</param>
/// <param name="Notes">What to bear in mind, a sentence each.</param>
public sealed record WhatIf(SprayMove Move, IReadOnlyList<CoverIf> Windows, IReadOnlyList<string> Notes)
{
    /// <summary>The question in words: the day, and the one that the journal has.</summary>
    public string Asked => $"sprayed on {Day(Move.On)} {(Move.InsteadOf is { } day ? $"instead of {Day(day)}" : "too")}";

    /// <summary>The answer in one sentence.</summary>
    public string Answer => Windows.Count == 0
        ? $"No infection window opened, so nothing would have been otherwise, {Asked}."
        : string.Create(
            CultureInfo.InvariantCulture,
            $"Of {Windows.Count} infection {(Windows.Count == 1 ? "window" : "windows")} "
                + $"{Windows.Count(one => one.Was == Cover.Fresh)} opened on a covered tree; "
                + $"{Asked} it would have been {Windows.Count(one => one.Then == Cover.Fresh)}.");

    private static string Day(DateOnly day) => day.ToString("yyyy-MM-dd", CultureInfo.InvariantCulture);
}
