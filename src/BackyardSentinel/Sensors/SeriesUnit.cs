using System.Text;
using System.Text.Json;
using BackyardSentinel.Garden;
using BackyardSentinel.Units;
using BackyardSentinel.Wording;

namespace BackyardSentinel.Sensors;

/// <summary>The unit that the messages of one series name: behind the number, beside it, or elsewhere.</summary>
internal sealed class SeriesUnit
{
    /// <summary>Beside a number, these name its unit.</summary>
    private static readonly string[] Names = ["unit", "units"];

    private readonly SeriesMap _map;
    private readonly JsonPath? _number, _elsewhere;
    private readonly byte[][] _beside;
    private (byte[] Text, Unit? Unit) _last = ([], null);

    /// <summary>Makes it for a series.</summary>
    /// <param name="map">The series.</param>
    /// <param name="number">The path of its number; <c>null</c>: its messages are no JSON.</param>
    public SeriesUnit(SeriesMap map, JsonPath? number)
    {
        (_map, _number) = (map, number);
        _elsewhere = map.UnitPath is null ? null : JsonPath.Parse(map.UnitPath);
        var name = map.Path?[(map.Path.LastIndexOf('.') + 1)..];
        _beside = [.. Names.Concat(Names.Select(key => $"{name}_{key}")).Select(Encoding.UTF8.GetBytes)];
    }

    /// <summary>The garden file says where the unit stands.</summary>
    public bool HasPath => _elsewhere is not null;

    /// <summary>The unit's text apart from the number; <c>null</c>: there is none.</summary>
    /// <param name="root">The JSON's root.</param>
    /// <param name="from">The root, or the entry of a list that the path goes on from.</param>
    public string? In(JsonElement root, JsonElement from)
    {
        if (_elsewhere is not null)
            return TextOf(_elsewhere.HasEach ? _elsewhere.FindWithin(from) : _elsewhere.Find(root));
        if (_number?.Holder(from) is not { } holder)
            return null;
        foreach (var key in _beside)
        {
            // A unit of something else says nothing of this number.
            if (holder.TryGetProperty(key, out var beside) && TextOf(beside)?.Trim() is { } text && UnitText.Find(_map, text) is not null)
                return text;
        }

        return null;
    }

    /// <summary>The unit of a text behind a number; <c>null</c>: it is none for this series.</summary>
    /// <param name="text">The text.</param>
    public Unit? Of(ReadOnlySpan<byte> text)
    {
        // Sensors say the same unit each time.
        if (!text.SequenceEqual(_last.Text))
            _last = (text.ToArray(), UnitText.Find(_map, Encoding.UTF8.GetString(text)));
        return _last.Unit;
    }

    /// <summary>The unit of a text apart from the number; <c>null</c> with a reason where it is none for this series.</summary>
    /// <param name="text">The text.</param>
    /// <param name="reason">Why there is none.</param>
    public Unit? Of(string text, out Sentence? reason)
    {
        var unit = Of(Encoding.UTF8.GetBytes(text.Trim()));
        reason = unit is null
            ? (Sentence)($"the message says {NumberReader.Quoted(Encoding.UTF8.GetBytes(text))}, which is no unit known for "
                + $"{_map.Quantity.Said()}")
            : null;
        return unit;
    }

    private static string? TextOf(JsonElement? value) => value is { ValueKind: JsonValueKind.String } text ? text.GetString() : null;
}
