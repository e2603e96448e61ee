namespace BackyardSentinel.Delivery;

/// <summary>One alert in words.</summary>
/// <param name="Title">What and where, 50 characters at most.</param>
/// <param name="Body">What and since when, why, what to do, how sure: a line each, 500 characters at most.</param>
public sealed record AlertText(string Title, string Body);
