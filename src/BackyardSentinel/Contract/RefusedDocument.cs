namespace BackyardSentinel.Contract;

/// <summary>refused --json: what sensors sent that could not be taken.</summary>
/// <param name="Count">How many are kept, also those that --limit leaves out.</param>
/// <param name="Refused">One for each topic and reason, the newest first.</param>
[SchemaFile("refused")]
public sealed record RefusedDocument([Bounds(0)] int Count, IReadOnlyList<RefusedMessage> Refused);

/// <summary>What was refused on a topic for one reason.</summary>
/// <param name="Topic">The topic.</param>
/// <param name="Reason">Why it could not be taken.</param>
/// <param name="Value">The last refused value in the quantity's unit; null where no number was found.</param>
/// <param name="First">When it came first, UTC.</param>
/// <param name="Last">When it came last, UTC.</param>
/// <param name="Times">How often it came.</param>
/// <param name="Sent">The beginning of the last message.</param>
public sealed record RefusedMessage(
    [Bounds(0)] string Topic,
    string Reason,
    double? Value,
    DateTimeOffset First,
    DateTimeOffset Last,
    [Bounds(1)] long Times,
    [Bounds(0)] string Sent);
