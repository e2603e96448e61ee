using System.Text.Json;

namespace BackyardSentinel.Sensors;

/// <summary>The fields of a payload that hold numbers, as paths: what a path that leads nowhere could have been.</summary>
internal static class PayloadFields
{
    private const int MostNamed = 12;
    private const int Deepest = 6;
    private const int LongestName = 60;

    /// <summary>Up to twelve paths that lead to a number, in the order of the payload.</summary>
    public static List<string> Of(JsonElement root)
    {
        List<string> found = [];
        Walk(root, "", 0, found);
        return found;
    }

    /// <summary>The one whose last name differs in case only, or begins as the wanted one does; <c>null</c>: none, or several.</summary>
    public static string? Nearest(string path, IReadOnlyList<string> fields)
    {
        var wanted = LastName(path);
        foreach (var alike in (ReadOnlySpan<Func<string, bool>>)[Same, Begins])
        {
            var near = fields.Where(field => alike(LastName(field))).ToList();
            if (near.Count == 1) return near[0];
            if (near.Count > 1) return null;
        }

        return null;

        bool Same(string name) => name.Equals(wanted, StringComparison.OrdinalIgnoreCase);
        bool Begins(string name) => Math.Min(name.Length, wanted.Length) >= 3 &&
            (name.StartsWith(wanted, StringComparison.OrdinalIgnoreCase) || wanted.StartsWith(name, StringComparison.OrdinalIgnoreCase));
    }

    private static void Walk(JsonElement here, string path, int depth, List<string> found)
    {
        if (found.Count >= MostNamed || depth > Deepest) return;
        switch (here.ValueKind)
        {
            case JsonValueKind.Object:
                foreach (var property in here.EnumerateObject())
                    Walk(property.Value, path + Step(property.Name, path.Length == 0), depth + 1, found);
                break;
            case JsonValueKind.Array:
                for (var i = 0; i < Math.Min(here.GetArrayLength(), MostNamed); i++) Walk(here[i], $"{path}[{i}]", depth + 1, found);
                break;
            default:
                if (path.Length is > 0 and <= LongestName && JsonNumber.Read(here, decimalComma: true).Outcome == NumberOutcome.Number)
                    found.Add(path);
                break;
        }
    }

    private static string Step(string name, bool isFirst)
    {
        if (name.Length == 0 || name.AsSpan().ContainsAny(".[]\" ")) return $"[\"{name}\"]";
        return isFirst ? name : "." + name;
    }

    private static string LastName(string path)
    {
        var name = path.TrimEnd(']').TrimEnd('"');
        return name[(name.LastIndexOfAny(['.', '[', '"']) + 1)..];
    }
}
