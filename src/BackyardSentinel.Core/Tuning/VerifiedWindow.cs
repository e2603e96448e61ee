using BackyardSentinel.Infection;

namespace BackyardSentinel.Tuning;

/// <summary>An infection window with what scouting made of it.</summary>
/// <param name="Window">The window.</param>
/// <param name="Outcome">What was found.</param>
public readonly record struct VerifiedWindow(InfectionWindow Window, Outcome Outcome);
