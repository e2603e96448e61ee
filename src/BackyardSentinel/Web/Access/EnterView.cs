using BackyardSentinel.Delivery;

namespace BackyardSentinel.Web.Access;

/// <summary>The door: where a key is asked for.</summary>
/// <param name="Words">The words.</param>
/// <param name="Garden">The garden's name.</param>
/// <param name="Key">A key that came with the address; <c>null</c>: none.</param>
/// <param name="Fault">Why the last one did not open; <c>null</c>: none was tried.</param>
/// <param name="Entered">What the key opened; <c>null</c>: not yet.</param>
/// <param name="Next">Where to go on.</param>
public sealed record EnterView(PageWords Words, string Garden, string? Key, string? Fault, Role? Entered, string Next);
