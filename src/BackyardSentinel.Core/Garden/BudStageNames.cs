using System.Globalization;

namespace BackyardSentinel.Garden;

/// <summary>Names for the stages a grower writes down most, so that nobody needs to know the BBCH scale by heart.</summary>
public static class BudStageNames
{
    private static readonly (string Name, int Code)[] Named =
        [("shut", 0), ("swell", 1), ("green-tip", 9), ("first-leaves", 10), ("bloom", 60), ("petal-fall", 69)];

    /// <summary>The names, in the order of the season.</summary>
    public static IReadOnlyList<string> All { get; } = [.. Named.Select(one => one.Name)];

    /// <summary>Reads a name or a BBCH code. Whether stone fruit has the code is not asked here.</summary>
    /// <param name="text">Such as <c>green-tip</c> or <c>9</c>; case and blanks in place of '-' do not matter.</param>
    /// <returns>The code, or <c>null</c> where it is neither.</returns>
    public static int? CodeOf(string text)
    {
        ArgumentNullException.ThrowIfNull(text);
        var word = text.Trim().ToLowerInvariant().Replace(' ', '-');
        foreach (var (name, code) in Named)
        {
            if (name == word)
                return code;
        }

        return int.TryParse(word, NumberStyles.AllowLeadingSign, CultureInfo.InvariantCulture, out var number) ? number : null;
    }
}
