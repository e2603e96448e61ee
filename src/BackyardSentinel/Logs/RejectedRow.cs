namespace BackyardSentinel.Logs;

/// <summary>A row, or one value of it, that was not taken.</summary>
/// <param name="File">The log file.</param>
/// <param name="Line">Line in it, 1-based; 0 in a store, which has none.</param>
/// <param name="Reason">Why, in words.</param>
public readonly record struct RejectedRow(string File, long Line, string Reason);
