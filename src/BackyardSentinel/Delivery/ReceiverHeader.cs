using BackyardSentinel.Guards;

namespace BackyardSentinel.Delivery;

/// <summary>A header that goes with each request.</summary>
/// <param name="Name">Its name.</param>
/// <param name="Value">Its value; fetched before use.</param>
/// <param name="IsSecret">The value is never shown.</param>
public sealed record ReceiverHeader(string Name, KeptValue Value, bool IsSecret)
{
    /// <inheritdoc/>
    public override string ToString() => IsSecret ? Name + ": …" : Name + ": " + Value.Plain;
}
