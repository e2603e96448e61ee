using BackyardSentinel.Configuration.Yaml;
using BackyardSentinel.Guards;
using BackyardSentinel.Wording;

namespace BackyardSentinel.Configuration.Reading;

/// <summary>Reads keys whose value is a secret or may hold one. No message shows the value.</summary>
internal static class SecretKeys
{
    /// <summary>Where a secret is kept, or <c>null</c> when the key is left out or holds the secret itself.</summary>
    public static KeptValue? Reference(SectionReader keys, string name, Sentence what, ProblemList problems)
    {
        if (keys.Scalar(name) is not { } scalar)
            return null;
        if (SecretReference.Parse(scalar.Value) is not { } secret)
        {
            problems.Error(
                scalar,
                $"'{new Name(name)}' holds a plain value; a {what} in this file would end up in backups and screenshots",
                $"file:PATH for a file that holds only the {what}, or env:NAME for an environment variable");
            return null;
        }

        secret = Beside(secret, problems);
        NoteIfMissing(scalar, secret, what, problems);
        return new KeptValue(null, secret);
    }

    /// <summary>An http or https address, or where it is kept.</summary>
    public static KeptValue? Address(SectionReader keys, string name, ProblemList problems)
    {
        if (Value(keys, name, $"address", problems) is not { } value)
            return null;
        if (value.Plain is { } plain && AddressFault(name, plain) is { } fault)
            problems.Error(keys.Place(name), fault, keys.Range(name));
        return value;
    }

    /// <summary>A value in the file, or where it is kept.</summary>
    public static KeptValue? Value(SectionReader keys, string name, Sentence what, ProblemList problems)
    {
        if (keys.Text(name) is not { } text)
            return null;
        var value = KeptValue.Parse(text);
        if (value.Reference is { } reference)
        {
            value = value with { Reference = Beside(reference, problems) };
            NoteIfMissing(keys.Place(name), value.Reference, what, problems);
        }

        return value;
    }

    private static Sentence? AddressFault(string key, string text) =>
        !Uri.TryCreate(text, UriKind.Absolute, out var uri) || uri.Scheme is not ("http" or "https") || uri.Host.Length == 0
            ? (Sentence)$"'{new Name(key)}' is no address that starts with https:// or http://"
        : uri.UserInfo.Length > 0
            ? (Sentence)$"'{new Name(key)}' holds a user name or password, which would end up in backups and screenshots"
        : null;

    private static SecretReference Beside(SecretReference secret, ProblemList problems) =>
        secret.FromFile ? secret with { Name = problems.Beside(secret.Name) } : secret;

    private static void NoteIfMissing(YamlNode at, SecretReference secret, Sentence what, ProblemList problems)
    {
        if (!secret.TryResolve(out _, out var reason))
            problems.Note(
                at,
                $"the {what} cannot be fetched at the moment: {reason!.Fit(ProblemList.Printable)}; 'run' would stop here");
    }
}
