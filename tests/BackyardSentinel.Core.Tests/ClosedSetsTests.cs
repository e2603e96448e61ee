using System.Reflection;

namespace BackyardSentinel;

/// <summary>A list of what there is has all of what there is: each is compared with the types of its family.</summary>
public sealed class ClosedSetsTests
{
    [Fact]
    public void Every_kind_of_journal_entry_is_listed_by_its_own_word() =>
        Assert.Equal(
            Family<JournalEntry>().Select(WordOf).Order(StringComparer.Ordinal),
            JournalEntry.Kinds.Order(StringComparer.Ordinal));

    [Fact]
    public void Every_rule_that_there_is_judges()
    {
        var rules = InfectionRules.All(new Site { Id = "yard" }, "peach");

        Assert.Equal(Family<InfectionRule>().ToHashSet(), rules.Select(rule => rule.GetType()).ToHashSet());
    }

    [Fact]
    public void Every_quantity_has_its_row_at_its_place()
    {
        Assert.Equal(Enum.GetValues<Quantity>(), Quantities.All.Select(of => of.Quantity));
        Assert.Equal(Quantities.Count, Quantities.All.Count);
        Assert.Distinct(Quantities.All.Select(of => of.Word));
        Assert.Distinct(Quantities.All.Select(of => of.Column));
    }

    private static IEnumerable<Type> Family<T>() =>
        typeof(T).Assembly.GetTypes().Where(type => type.IsSubclassOf(typeof(T)) && !type.IsAbstract);

    private static string WordOf(Type entry) => (string)entry.GetField("Word", BindingFlags.Public | BindingFlags.Static)!.GetValue(null)!;
}
