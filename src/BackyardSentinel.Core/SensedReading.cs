using BackyardSentinel.Weather;

namespace BackyardSentinel;

/// <summary>A reading with where it came from and when.</summary>
/// <param name="Site">The site's id.</param>
/// <param name="Series">The name of the series there.</param>
/// <param name="Reading">What was measured.</param>
/// <param name="ReceivedAt">When it came, UTC.</param>
public readonly record struct SensedReading(string Site, string Series, Reading Reading, DateTimeOffset ReceivedAt);
