using BackyardSentinel.Wording;

namespace BackyardSentinel.Configuration.Yaml;

/// <summary>A piece of the garden file with its place.</summary>
internal abstract record YamlNode(int Line, int Column)
{
    /// <summary>The included file that it stands in; <c>null</c>: the garden file itself.</summary>
    public string? File { get; init; }

    /// <summary>Its place in words, for a problem elsewhere.</summary>
    public Sentence Where => File is { } file ? $"line {Line} of {new Name(file)}" : (Sentence)$"line {Line}";
}

/// <summary>A single value; quoted text is never taken for a number or a yes/no.</summary>
internal sealed record YamlScalar(int Line, int Column, string Value, bool Quoted) : YamlNode(Line, Column)
{
    public bool IsEmpty => !Quoted && Value is "" or "~" or "null";
}

/// <summary>A list.</summary>
internal sealed record YamlSequence(int Line, int Column, IReadOnlyList<YamlNode> Items) : YamlNode(Line, Column);

/// <summary>Keys with their values, in the order of the file.</summary>
internal sealed record YamlMapping(int Line, int Column, IReadOnlyList<YamlEntry> Entries) : YamlNode(Line, Column);

/// <summary>One key and its value.</summary>
internal sealed record YamlEntry(YamlScalar Key, YamlNode Value);

/// <summary>A value already reported as one that may not stand here; nothing more is said about it.</summary>
internal sealed record YamlRefused(int Line, int Column) : YamlNode(Line, Column);
