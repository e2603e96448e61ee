using BackyardSentinel.Units;
using BackyardSentinel.Wording;

namespace BackyardSentinel.Configuration.Keys;

/// <summary>A word under a key <c>unit</c>.</summary>
/// <param name="Text">The word.</param>
/// <param name="Unit">The unit it means.</param>
internal readonly record struct UnitWord(string Text, Unit Unit)
{
    /// <summary>The words of some units: their symbols, and those that begin with a ring without it too.</summary>
    public static IReadOnlyList<UnitWord> Of(IReadOnlyList<Unit> units) =>
        [
            .. units.Select(unit => new UnitWord(unit.Symbol, unit)),
            .. units.Where(unit => unit.Symbol[0] == '°').Select(unit => new UnitWord(unit.Symbol[1..], unit)),
        ];

    /// <summary>The words of what falls in an hour.</summary>
    public static IReadOnlyList<UnitWord> PerHour(IReadOnlyList<Unit> units) =>
        [.. units.Select(unit => new UnitWord(unit.Symbol + "/h", unit))];

    /// <summary>The form of the key.</summary>
    /// <param name="quantities">Each quantity's word with the words of its units.</param>
    public static KeyForm Form(IEnumerable<(string Quantity, IReadOnlyList<UnitWord> Words)> quantities)
    {
        List<(string Quantity, string[] Words)> all = [.. quantities.Select(one => (one.Quantity, TextsOf(one.Words)))];
        var groups = all.GroupBy(one => string.Join(", ", one.Words));
        return new WordForm(
            Sentence.Joined("; ", groups.Select(group =>
                (Sentence)$"{Sentence.Names(group.Select(one => one.Quantity))}: {new Name(group.Key)}")),
            [.. all.SelectMany(one => one.Words).Distinct()]);
    }

    /// <summary>The words alone.</summary>
    public static string[] TextsOf(IEnumerable<UnitWord> words) => [.. words.Select(word => word.Text)];
}
