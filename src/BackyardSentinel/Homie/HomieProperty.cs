namespace BackyardSentinel.Homie;

/// <summary>One value of a node, never settable and always retained.</summary>
/// <param name="Id">Its id within the node.</param>
/// <param name="Name">Its name for people.</param>
/// <param name="DataType">One of the convention's data types.</param>
/// <param name="Value">The payload now; <c>null</c> while there is no value, and its topic is then deleted.</param>
/// <param name="Format">Limits or words allowed; <c>null</c> for none.</param>
/// <param name="Unit">Unit; <c>null</c> for none.</param>
internal sealed record HomieProperty(
    string Id, string Name, string DataType, Func<SiteWatch, string?> Value, string? Format = null, string? Unit = null);
