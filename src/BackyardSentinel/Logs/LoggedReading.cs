using BackyardSentinel.Storage;

namespace BackyardSentinel.Logs;

/// <summary>One reading of a log, with the place where it stands there.</summary>
/// <param name="Row">The reading as the store would keep it.</param>
/// <param name="File">Place of its file in the list of files.</param>
/// <param name="Line">Line in the file, 1-based.</param>
public readonly record struct LoggedReading(StoredReading Row, int File, long Line);
