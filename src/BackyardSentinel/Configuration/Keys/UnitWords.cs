using BackyardSentinel.Units;

namespace BackyardSentinel.Configuration.Keys;

/// <summary>The words under a key <c>unit</c>: a unit's symbol, and those with a ring without it too.</summary>
internal static class UnitWords
{
    /// <summary>The form of the key.</summary>
    /// <param name="quantities">Each quantity's word with the units that fit it.</param>
    public static KeyForm Form(IEnumerable<(string Word, IReadOnlyList<Unit> Units)> quantities)
    {
        List<(string Word, IReadOnlyList<Unit> Units)> all = [.. quantities];
        var groups = all.GroupBy(one => string.Join(", ", Of(one.Units)));
        return new WordForm(
            string.Join("; ", groups.Select(group => $"{string.Join(", ", group.Select(one => one.Word))}: {group.Key}")),
            [.. all.SelectMany(one => Of(one.Units)).Distinct()]);
    }

    /// <summary>The words of some units.</summary>
    public static IReadOnlyList<string> Of(IReadOnlyList<Unit> units) =>
        [.. units.Select(unit => unit.Symbol).Concat(units.Select(unit => unit.Symbol.TrimStart('°'))).Distinct()];

    /// <summary>The unit of a word; <c>null</c>: it is none of them.</summary>
    public static Unit? Find(IReadOnlyList<Unit> units, string word) =>
        units.FirstOrDefault(unit => unit.Symbol == word || unit.Symbol.TrimStart('°') == word);
}
