namespace BackyardSentinel.Logs;

/// <summary>One reading of a log, with the place where it stands there.</summary>
/// <param name="Sensed">The reading.</param>
/// <param name="File">Place of its file in the list of files.</param>
/// <param name="Line">Line in the file, 1-based.</param>
public readonly record struct LoggedReading(SensedReading Sensed, int File, long Line);
