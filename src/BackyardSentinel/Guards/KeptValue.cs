using BackyardSentinel.Wording;

namespace BackyardSentinel.Guards;

/// <summary>A value that is told straight away or, where it is a key or holds one, kept in a file or the environment.</summary>
/// <param name="Plain">The value itself; <c>null</c> until it has been fetched.</param>
/// <param name="Reference">Where it is kept; <c>null</c> when it was told.</param>
public sealed record KeptValue(string? Plain, SecretReference? Reference)
{
    /// <summary>The value is kept elsewhere and is never shown.</summary>
    public bool IsSecret => Reference is not null;

    /// <summary>A value told straight away.</summary>
    /// <param name="plain">The value.</param>
    public static implicit operator KeptValue(string plain) => new(plain, null);

    /// <summary>Reads <c>file:PATH</c> and <c>env:NAME</c> as references and anything else as the value itself.</summary>
    public static KeptValue Parse(string text) => new(SecretReference.Parse(text) is null ? text : null, SecretReference.Parse(text));

    /// <summary>Fetches the value.</summary>
    /// <param name="value">The value, or <c>null</c>.</param>
    /// <param name="reason">Why there is none, without the value in it.</param>
    public bool TryResolve(out string? value, out Sentence? reason)
    {
        if (Reference is { } reference)
            return reference.TryResolve(out value, out reason);
        (value, reason) = (Plain, null);
        return true;
    }

    /// <summary>Where the value is kept; one that was told is covered, for an address may hold a key all the same.</summary>
    public override string ToString() => Reference?.ToString() ?? "***";
}
