namespace BackyardSentinel.Configuration;

/// <summary>One or more trees of one kind and variety.</summary>
/// <param name="Id">Short id used in topics.</param>
/// <param name="Kind">Peach, nectarine, almond or apricot.</param>
/// <param name="Variety">The variety's name, for the reader of messages.</param>
/// <param name="Stage">BBCH code that holds throughout, or <c>null</c>: always judged as open to infection.</param>
public sealed record GardenPlanting(string Id, string Kind, string? Variety = null, int? Stage = null);
