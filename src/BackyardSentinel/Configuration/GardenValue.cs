namespace BackyardSentinel.Configuration;

/// <summary>A value that stands in the garden file or, where it holds a key, somewhere the file only points to.</summary>
/// <param name="Plain">The value itself; <c>null</c> when it is kept elsewhere.</param>
/// <param name="Reference">Where it is kept; <c>null</c> when it stands in the file.</param>
public sealed record GardenValue(string? Plain, SecretReference? Reference)
{
    /// <summary>The value is kept outside the garden file and is never shown.</summary>
    public bool IsSecret => Reference is not null;

    /// <summary>Reads <c>file:PATH</c> and <c>env:NAME</c> as references and anything else as the value itself.</summary>
    public static GardenValue Parse(string text) =>
        SecretReference.Parse(text) is { } reference ? new GardenValue(null, reference) : new GardenValue(text, null);

    /// <summary>Fetches the value.</summary>
    /// <param name="value">The value, or <c>null</c>.</param>
    /// <param name="reason">Why there is none, without the value in it.</param>
    public bool TryResolve(out string? value, out string? reason)
    {
        if (Reference is { } reference)
            return reference.TryResolve(out value, out reason);
        (value, reason) = (Plain, null);
        return true;
    }

    /// <summary>Where the value is kept; one in the file is covered, for an address may hold a key all the same.</summary>
    public override string ToString() => Reference?.ToString() ?? "***";
}
