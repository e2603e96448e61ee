using BackyardSentinel.Contract;

namespace BackyardSentinel.Hosting;

/// <summary>How the services of a garden run.</summary>
/// <param name="ClockFromReadings">The readings' own times are the clock, as for a recorded log; nothing is sent to receivers then.</param>
/// <param name="OnAlert">Told each new alert.</param>
public sealed record ServiceOptions(bool ClockFromReadings, Action<AlertMessage>? OnAlert = null);
