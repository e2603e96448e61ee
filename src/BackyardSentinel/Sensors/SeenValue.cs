using System.Text;

namespace BackyardSentinel.Sensors;

/// <summary>One value that can be read from a message, and how a series would have to name it.</summary>
internal sealed record SeenValue
{
    /// <summary>Words for wet and dry that are known without being told.</summary>
    private static readonly WetWords Words = new(["wet", "true", "on", "yes"], ["dry", "false", "off", "no"]);

    /// <summary>How the message arranges its values.</summary>
    public MessageShape Shape { get; init; }

    /// <summary>Where the value is; <c>null</c>: it is the message.</summary>
    public string? Path { get; init; }

    /// <summary>What the message calls it, the nearest first; the topic is not among them.</summary>
    public IReadOnlyList<string> Names { get; init; } = [];

    /// <summary>The numbers as sent, those of a list in its order; words for wet and dry count as 1 and 0.</summary>
    public required IReadOnlyList<double> Numbers { get; init; }

    /// <summary>It is a word for wet or dry.</summary>
    public bool IsWord { get; init; }

    /// <summary>The unit that the message tells.</summary>
    public string? UnitText { get; init; }

    /// <summary>That unit stands behind the number.</summary>
    public bool UnitIsBehind { get; init; }

    /// <summary>Where the unit stands, if not behind or beside the number.</summary>
    public string? UnitPath { get; init; }

    /// <summary>Where the value's own time stands.</summary>
    public string? TimePath { get; init; }

    /// <summary>That time tells no zone.</summary>
    public bool TimeNeedsZone { get; init; }

    /// <summary>A comma is the decimal mark.</summary>
    public bool DecimalComma { get; init; }

    /// <summary>One value from a text: a number with or without a unit behind it, or a word for wet or dry.</summary>
    internal static SeenValue? Bare(ReadOnlySpan<byte> text)
    {
        if (Words.Read(text) is { } word)
            return new SeenValue { Numbers = [word > 0 ? 1 : 0], IsWord = true };
        foreach (var comma in (ReadOnlySpan<bool>)[false, true])
        {
            var number = NumberReader.Read(text, comma, out var unit);
            if (number.Outcome == NumberOutcome.Number)
            {
                return new SeenValue
                {
                    Numbers = [number.Value],
                    UnitText = unit.IsEmpty ? null : Encoding.UTF8.GetString(unit),
                    UnitIsBehind = !unit.IsEmpty,
                    DecimalComma = comma,
                };
            }
        }

        return null;
    }
}
