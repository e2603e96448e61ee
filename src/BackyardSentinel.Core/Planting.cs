namespace BackyardSentinel;

/// <summary>One or more trees of one kind, variety and bud stage at a site.</summary>
/// <param name="Id">Short id used in topics: letters, digits, hyphen.</param>
/// <param name="Kind">Peach, nectarine, almond, apricot.</param>
/// <param name="Stage">
/// BBCH code that holds throughout, or <c>null</c>: judge as if the tissue could always be infected.
/// </param>
public sealed record Planting(string Id, string Kind = "peach", int? Stage = null);
