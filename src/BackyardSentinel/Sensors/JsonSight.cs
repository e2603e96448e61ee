using System.Text.Json;

namespace BackyardSentinel.Sensors;

/// <summary>Finds the values of a JSON message with a path to each, and what stands beside them: units and times.</summary>
internal sealed class JsonSight
{
    private const int Deepest = 12;
    private const int MostEntries = 20;
    private const int LongestPath = 200;

    private static readonly string[] UnitKeys = ["unit", "units"];
    private static readonly string[] NumberNames = ["id", "channel", "ch", "index", "node", "sensor", "probe", "port"];

    private readonly Dictionary<string, SeenValue> _found = new(StringComparer.Ordinal);
    private readonly List<string> _order = [];
    private JsonElement _root;

    /// <summary>Where in the message it is looked, and what holds there.</summary>
    private readonly record struct Place(string Path, IReadOnlyList<string> Names, string? Time, bool NeedsZone, int Depth)
    {
        public Place Step(string step, string? name) =>
            this with { Path = Path + step, Names = name is null ? Names : [name, .. Names], Depth = Depth + 1 };
    }

    /// <summary>The values, in the order of the message.</summary>
    public List<SeenValue> Of(JsonElement root)
    {
        _root = root;
        Look(root, new Place("", [], null, false, 0), null);
        return [.. _order.Select(path => _found[path])];
    }

    private void Look(JsonElement here, Place place, JsonElement? holder)
    {
        if (place.Depth > Deepest || place.Path.Length > LongestPath)
            return;
        switch (here.ValueKind)
        {
            case JsonValueKind.Object:
                LookInObject(here, place);
                break;
            case JsonValueKind.Array:
                LookInList(here, place, holder);
                break;
            default:
                if (place.Path.Length > 0)
                    Take(here, place, holder);
                break;
        }
    }

    private void LookInObject(JsonElement here, Place place)
    {
        var isEach = place.Path.EndsWith("[*]", StringComparison.Ordinal);
        string? timeKey = null;
        foreach (var property in here.EnumerateObject())
        {
            if (timeKey is null && TimeSight.Of(property.Value, property.Name, out var zoneless))
                (timeKey, place) = (property.Name, place with { Time = Join(place.Path, property.Name), NeedsZone = zoneless });
        }

        foreach (var property in here.EnumerateObject())
        {
            if (property.Name == timeKey || UnitKeys.Contains(property.Name) || property.Name.EndsWith("_unit", StringComparison.Ordinal))
                continue;
            // Times of a list stand in a list beside it.
            if (property.Value.ValueKind == JsonValueKind.Array && !isEach && TimesBeside(here, property) is { } times)
            {
                var each = place with { Time = Join(place.Path, times.Name) + "[*]", NeedsZone = times.NeedsZone };
                foreach (var entry in property.Value.EnumerateArray())
                    Take(entry, each.Step(Step(property.Name, place.Path) + "[*]", property.Name), null);
            }
            else if (property.Value.ValueKind != JsonValueKind.Array || !AreTimes(property.Value, property.Name, out _))
            {
                Look(property.Value, place.Step(Step(property.Name, place.Path), property.Name), here);
            }
        }
    }

    private void LookInList(JsonElement list, Place place, JsonElement? holder)
    {
        var entries = list.EnumerateArray().Take(MostEntries).ToList();
        if (entries.Count == 0)
            return;
        var mayBeEach = !place.Path.Contains("[*]", StringComparison.Ordinal);
        if (mayBeEach && entries.TrueForAll(entry => entry.ValueKind == JsonValueKind.Object) && NameKey(entries) is { } key)
        {
            foreach (var entry in entries)
            {
                var says = Said(entry.GetProperty(key));
                Look(entry, place.Step($"[{key}={says}]", says), holder);
            }
        }
        else if (mayBeEach && HaveTimes(entries))
        {
            foreach (var entry in entries)
                Look(entry, place.Step("[*]", null), holder);
        }
        else if (mayBeEach && TimeColumn(entries) is { } column)
        {
            foreach (var entry in entries)
                LookInRow(entry, column, place);
        }
        else
        {
            for (var i = 0; i < entries.Count; i++)
                Look(entries[i], place.Step(FormattableString.Invariant($"[{i}]"), null), holder);
        }
    }

    private void LookInRow(JsonElement row, int column, Place place)
    {
        TimeSight.Of(row[column], null, out var zoneless);
        var here = place with { Time = FormattableString.Invariant($"{place.Path}[*][{column}]"), NeedsZone = zoneless };
        for (var i = 0; i < row.GetArrayLength(); i++)
        {
            if (i != column && row[i].ValueKind is JsonValueKind.Number or JsonValueKind.String)
                Take(row[i], here.Step(FormattableString.Invariant($"[*][{i}]"), null), null);
        }
    }

    private void Take(JsonElement value, Place place, JsonElement? holder)
    {
        if (value.ValueKind is not (JsonValueKind.Number or JsonValueKind.String or JsonValueKind.True or JsonValueKind.False))
            return;
        var text = JsonNumber.TextOf(value);
        if (text.Length > 64 || SeenValue.Bare(text) is not { } seen)
            return;
        if (_found.TryGetValue(place.Path, out var earlier))
        {
            _found[place.Path] = earlier with { Numbers = [.. earlier.Numbers, .. seen.Numbers] };
            return;
        }

        var (unit, unitPath) = seen.UnitText is null ? UnitBeside(holder, place) : (null, null);
        _order.Add(place.Path);
        _found[place.Path] = seen with
        {
            Path = place.Path,
            Names = place.Names,
            UnitText = seen.UnitText ?? unit,
            UnitPath = unitPath,
            TimePath = place.Time,
            TimeNeedsZone = place.NeedsZone,
        };
    }

    /// <summary>A unit under <c>unit</c> or <c>NAME_unit</c> beside the number, or under its name in an object of units.</summary>
    private (string? Unit, string? Path) UnitBeside(JsonElement? holder, Place place)
    {
        if (place.Names is not [var name, ..])
            return (null, null);
        if (holder is { ValueKind: JsonValueKind.Object } beside)
        {
            foreach (var key in UnitKeys.Concat(UnitKeys.Select(key => $"{name}_{key}")))
            {
                if (beside.TryGetProperty(key, out var told) && told.ValueKind == JsonValueKind.String)
                    return (told.GetString(), null);
            }
        }

        if (_root.ValueKind != JsonValueKind.Object)
            return (null, null);
        foreach (var key in UnitKeys)
        {
            if (
                _root.TryGetProperty(key, out var units)
                && units.ValueKind == JsonValueKind.Object
                && units.TryGetProperty(name, out var told)
                && told.ValueKind == JsonValueKind.String)
                return (told.GetString(), Join(key, name));
        }

        return (null, null);
    }

    /// <summary>The key whose values name the entries of a list: all have it, each says another thing, and none is a time.</summary>
    private static string? NameKey(List<JsonElement> entries)
    {
        if (entries.Count < 2)
            return null;
        foreach (var property in entries[0].EnumerateObject())
        {
            HashSet<string> said = new(StringComparer.Ordinal);
            if (
                entries.TrueForAll(entry =>
                    entry.TryGetProperty(property.Name, out var value)
                    && Said(value) is { Length: > 0 and <= 60 } word
                    && !word.Contains(']', StringComparison.Ordinal)
                    && (value.ValueKind == JsonValueKind.String
                        ? SeenValue.Bare(JsonNumber.TextOf(value)) is null
                        : NumberNames.Contains(property.Name))
                    && !TimeSight.Of(value, property.Name, out _)
                    && said.Add(word)))
                return property.Name;
        }

        return null;
    }

    private static string Said(JsonElement value) => value.ValueKind switch
    {
        JsonValueKind.String => value.GetString()!,
        JsonValueKind.Number => value.GetRawText(),
        _ => "",
    };

    /// <summary>Each has what is a time in one of them, even if it is none that can be read in another.</summary>
    private static bool HaveTimes(List<JsonElement> entries)
    {
        if (!entries.TrueForAll(entry => entry.ValueKind == JsonValueKind.Object))
            return false;
        var times = entries.SelectMany(entry => entry.EnumerateObject())
            .Where(property => TimeSight.Of(property.Value, property.Name, out _))
            .Select(property => property.Name);
        return times.Distinct().Any(name => entries.TrueForAll(entry => entry.TryGetProperty(name, out _)));
    }

    private static int? TimeColumn(List<JsonElement> rows)
    {
        if (!rows.TrueForAll(row => row.ValueKind == JsonValueKind.Array && row.GetArrayLength() == rows[0].GetArrayLength()))
            return null;
        for (var column = 0; column < rows[0].GetArrayLength(); column++)
        {
            if (rows.TrueForAll(row => TimeSight.Of(row[column], null, out _)))
                return column;
        }

        return null;
    }

    private static (string Name, bool NeedsZone)? TimesBeside(JsonElement holder, JsonProperty values)
    {
        var count = values.Value.GetArrayLength();
        if (count == 0 || AreTimes(values.Value, values.Name, out _))
            return null;
        foreach (var other in holder.EnumerateObject())
        {
            if (
                other.Value.ValueKind == JsonValueKind.Array
                && other.Value.GetArrayLength() == count
                && AreTimes(other.Value, other.Name, out var zoneless))
                return (other.Name, zoneless);
        }

        return null;
    }

    private static bool AreTimes(JsonElement list, string name, out bool needsZone)
    {
        var zoneless = false;
        var all = list.GetArrayLength() > 0 && list.EnumerateArray().All(entry => TimeSight.Of(entry, name, out zoneless));
        needsZone = zoneless;
        return all;
    }

    private static string Join(string path, string name) => path + Step(name, path);

    private static string Step(string name, string path) =>
        name.Length == 0 || name.AsSpan().ContainsAny(".[]\" ") || char.IsWhiteSpace(name[0]) ? $"[\"{name}\"]"
        : path.Length == 0 ? name
        : "." + name;
}
