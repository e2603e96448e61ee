using BackyardSentinel.Wording;

namespace BackyardSentinel.Planning;

/// <summary>A spray, a look at the last one, or a rain shelter instead, that the time of year asks for.</summary>
/// <param name="What">What.</param>
/// <param name="By">Local day before which it should be done; <c>null</c>: no date can be given.</param>
/// <param name="Why">Why.</param>
public sealed record DueSpray(DueTask What, DateOnly? By, Sentence Why)
{
    /// <summary>Local day from which it can be done; <c>null</c>: at once.</summary>
    public DateOnly? From { get; init; }

    /// <summary>Local day from which a spray counts as this one; an earlier one would not. <c>null</c>: any does.</summary>
    public DateOnly? CountsFrom => What == DueTask.LateWinter ? By?.AddDays(-DueRules.LateWinterDays) : From;

    /// <summary><see cref="From"/> is guessed from the calendar.</summary>
    public bool FromIsGuessed { get; init; }
}
