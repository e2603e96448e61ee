using BackyardSentinel.Configuration.Keys;
using BackyardSentinel.Configuration.Reading;
using BackyardSentinel.Units;
using BackyardSentinel.Wording;

namespace BackyardSentinel.Configuration;

/// <summary>Reads the key <c>unit</c>.</summary>
internal static class QuantityUnits
{
    /// <summary>The unit under the key, which has to be one of those given; the first holds where the key is left out.</summary>
    public static Unit Read(SectionReader keys, string quantity, IReadOnlyList<UnitWord> units)
    {
        if (keys.Scalar("unit") is not { } scalar)
            return units[0].Unit;
        foreach (var known in units.Where(one => one.Text == scalar.Value))
            return known.Unit;
        List<string> words = [.. units.Select(one => one.Text)];
        keys.Problems.Error(
            scalar,
            $"{new Name(quantity)} cannot be in {Yaml.ProblemList.Quote(scalar.Value)}",
            $"a unit of {new Name(quantity)}: {Sentence.Names(words)}",
            NearestWord.Find(scalar.Value, words));
        return units[0].Unit;
    }
}
