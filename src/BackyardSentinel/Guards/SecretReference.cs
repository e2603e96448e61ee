using BackyardSentinel.Wording;

namespace BackyardSentinel.Guards;

/// <summary>Says where a secret is kept: in a file or in an environment variable.</summary>
/// <param name="FromFile"><c>true</c>: <paramref name="Name"/> is a file; <c>false</c>: an environment variable.</param>
/// <param name="Name">The path or the variable's name.</param>
public sealed record SecretReference(bool FromFile, string Name)
{
    // A password file is one short line; more is the wrong file.
    private const int LongestSecret = 4096;

    /// <summary>Reads <c>file:PATH</c> or <c>env:NAME</c>; <c>null</c> for anything else.</summary>
    public static SecretReference? Parse(string text)
    {
        ArgumentNullException.ThrowIfNull(text);
        if (text.StartsWith("file:", StringComparison.Ordinal) && text.Length > 5)
            return new SecretReference(true, text[5..]);
        return text.StartsWith("env:", StringComparison.Ordinal) && text.Length > 4
            ? new SecretReference(false, text[4..])
            : null;
    }

    /// <summary>Fetches the secret. A line end after it is dropped.</summary>
    /// <param name="value">The secret, or <c>null</c>.</param>
    /// <param name="reason">Why there is none, without the secret in it.</param>
    public bool TryResolve(out string? value, out Sentence? reason)
    {
        (value, reason) = FromFile ? ReadFile() : ReadVariable();
        return value is not null;
    }

    /// <inheritdoc/>
    public override string ToString() => (FromFile ? "file:" : "env:") + Name;

    private (string? Value, Sentence? Reason) ReadVariable() =>
        Environment.GetEnvironmentVariable(Name) is { Length: > 0 } set
            ? (set, null)
            : (null, $"the environment variable {new Name(Name)} is not set");

    private (string? Value, Sentence? Reason) ReadFile()
    {
        var trouble = OrdinaryFile.Read(Name, LongestSecret, out var bytes, out var reason);
        if (trouble != FileTrouble.None)
            return (null, trouble == FileTrouble.TooLong ? $"{reason!}, so it is no password file" : reason);
        var secret = new StreamReader(new MemoryStream(bytes!)).ReadToEnd().TrimEnd('\r', '\n');
        return secret.Length > 0 ? (secret, null) : (null, $"the file {new Name(Name)} is empty");
    }
}
