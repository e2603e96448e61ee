namespace BackyardSentinel.Planning;

/// <summary>A spray, a look at the last one, or a rain shelter instead, that the time of year asks for.</summary>
/// <param name="What">What, in words.</param>
/// <param name="By">Local day before which it should be done; <c>null</c>: no date can be given.</param>
/// <param name="Why">Why.</param>
public sealed record DueSpray(string What, DateOnly? By, string Why)
{
    /// <summary>Local day from which it can be done; <c>null</c>: at once.</summary>
    public DateOnly? From { get; init; }

    /// <summary><see cref="From"/> is guessed from the calendar.</summary>
    public bool FromIsGuessed { get; init; }

    /// <summary>The spray after leaf fall.</summary>
    public const string LeafFall = "leaf-fall spray";

    /// <summary>The spray before the leaf buds swell, the one not to miss.</summary>
    public const string LateWinter = "late-winter spray";

    /// <summary>A repeat where rain has taken the cover off.</summary>
    public const string Repeat = "repeat spray";

    /// <summary>No spray: a roof that keeps the rain off, where none may be sprayed or none is wanted.</summary>
    public const string Shelter = "rain shelter";

    /// <summary>No spray yet, but a look at the last one.</summary>
    public const string LookAtCover = "look at the cover";

    /// <summary>All that <see cref="What"/> may be.</summary>
    public static IReadOnlyList<string> Words { get; } = [LeafFall, LateWinter, Repeat, LookAtCover, Shelter];
}
