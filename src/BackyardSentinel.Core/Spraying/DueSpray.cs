namespace BackyardSentinel.Spraying;

/// <summary>A spray, or a look at the last one, that the time of year asks for.</summary>
/// <param name="What">What, in words.</param>
/// <param name="By">Local day before which it should be done; <c>null</c>: no date can be given.</param>
/// <param name="Why">Why.</param>
public sealed record DueSpray(string What, DateOnly? By, string Why);
