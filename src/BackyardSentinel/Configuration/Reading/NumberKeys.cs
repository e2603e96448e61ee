using System.Globalization;
using BackyardSentinel.Configuration.Keys;
using BackyardSentinel.Configuration.Yaml;
using BackyardSentinel.Units;
using BackyardSentinel.Wording;

namespace BackyardSentinel.Configuration.Reading;

/// <summary>Reads keys that hold numbers, durations and amounts with units.</summary>
internal static class NumberKeys
{
    public static double Number(this SectionReader keys, string name) =>
        keys.OptionalNumber(name) ?? double.Parse(keys.Key(name).Default, CultureInfo.InvariantCulture);

    /// <summary>The number, or <c>null</c> when the key is left out or wrong.</summary>
    public static double? OptionalNumber(this SectionReader keys, string name) =>
        keys.Scalar(name) is { } scalar ? NumberOf(keys, scalar, name, $"'{new Name(name)}'") : null;

    public static int Whole(this SectionReader keys, string name) =>
        keys.OptionalWhole(name) ?? int.Parse(keys.Key(name).Default, CultureInfo.InvariantCulture);

    /// <summary>The whole number, or <c>null</c> when the key is left out or wrong.</summary>
    public static int? OptionalWhole(this SectionReader keys, string name)
    {
        if (keys.OptionalNumber(name) is not { } number)
            return null;
        if (number == Math.Floor(number) && Math.Abs(number) <= int.MaxValue)
            return (int)number;
        keys.Problems.Error(keys.Place(name), $"'{new Name(name)}' is a whole number; this one has decimals", keys.Key(name).Range);
        return null;
    }

    /// <summary>A list of exactly so many amounts, or <c>null</c> when the key is left out or wrong.</summary>
    /// <param name="keys">The part.</param>
    /// <param name="name">The key.</param>
    /// <param name="count">How many belong there.</param>
    /// <param name="dimension">What is measured.</param>
    /// <param name="bare">The unit of a number without one.</param>
    public static IReadOnlyList<double>? Amounts(this SectionReader keys, string name, int count, Dimension dimension, Unit bare)
    {
        switch (keys.Node(name))
        {
            case null or YamlRefused:
                return null;
            case YamlSequence list when list.Items.Count != count:
                keys.Problems.Error(list, $"'{new Name(name)}' has {list.Items.Count} numbers where {count} belong", keys.Key(name).Range);
                return null;
            case YamlSequence list:
                List<double> amounts = [];
                foreach (var item in list.Items)
                {
                    if (item is YamlScalar { IsEmpty: false } scalar)
                    {
                        if (AmountOf(keys, scalar, name, $"an entry of '{new Name(name)}'", dimension, bare) is { } amount)
                            amounts.Add(amount);
                    }
                    else if (item is not YamlRefused)
                        keys.Problems.Error(
                            item,
                            $"an entry of '{new Name(name)}' is a number, but {SectionReader.Kind(item)} stands here",
                            keys.Key(name).Range);
                }

                return amounts.Count == count ? amounts : null;
            case { } other:
                keys.Problems.Error(
                    other,
                    $"'{new Name(name)}' is a list of {count} numbers, but {SectionReader.Kind(other)} stands here",
                    keys.Key(name).Range);
                return null;
        }
    }

    public static TimeSpan Duration(this SectionReader keys, string name) =>
        keys.OptionalDuration(name) ?? DurationText.Parse(keys.Key(name).Default)!.Value;

    /// <summary>The duration, or <c>null</c> when the key is left out or wrong.</summary>
    public static TimeSpan? OptionalDuration(this SectionReader keys, string name)
    {
        var key = keys.Key(name);
        if (keys.Scalar(name) is not { } scalar)
            return null;
        if (DurationText.Parse(scalar.Value) is not { } duration)
        {
            var shown = ProblemList.Quote(scalar.Value);
            keys.Problems.Error(
                scalar,
                scalar.Value.All(char.IsAsciiDigit)
                    ? (Sentence)$"'{new Name(name)}' is a duration, but {shown} cannot be read as one; the unit is missing"
                    : $"'{new Name(name)}' is a duration, but {shown} cannot be read as one",
                $"{key.Range}, written like 30s, 10m, 2h or 1h30m");
        }
        else if (duration.TotalSeconds < key.Least || duration.TotalSeconds > key.Most)
            keys.Problems.Error(scalar, $"'{new Name(name)}' is out of range: {ProblemList.Quote(scalar.Value)}", key.Range);
        else
            return duration;
        return null;
    }

    /// <summary>
    /// A number with a unit, as it is reckoned (L, °C, m/s, mm, m²), or <c>null</c> when the key is left out or wrong. The
    /// key's limits are in these units.
    /// </summary>
    /// <param name="keys">The part.</param>
    /// <param name="name">The key.</param>
    /// <param name="dimension">What is measured.</param>
    /// <param name="bare">The unit of a number without one; <c>null</c> refuses such a number.</param>
    public static double? OptionalAmount(this SectionReader keys, string name, Dimension dimension, Unit? bare = null) =>
        keys.Scalar(name) is { } scalar ? AmountOf(keys, scalar, name, $"'{new Name(name)}'", dimension, bare) : null;

    /// <summary>The same, with the key's default where it is left out or wrong.</summary>
    /// <param name="keys">The part.</param>
    /// <param name="name">The key.</param>
    /// <param name="dimension">What is measured.</param>
    /// <param name="bare">The unit of a number without one; the default has a unit.</param>
    public static double Amount(this SectionReader keys, string name, Dimension dimension, Unit bare) =>
        keys.OptionalAmount(name, dimension, bare) ?? AmountText.Parse(keys.Key(name).Default, dimension)!.Value;

    private static double? AmountOf(SectionReader keys, YamlScalar scalar, string name, Sentence subject, Dimension dimension, Unit? bare)
    {
        var key = keys.Key(name);
        if (AmountText.Parse(scalar.Value, dimension, bare) is not { } amount)
            keys.Problems.Error(
                scalar, Hinted($"{subject} cannot be {ProblemList.Quote(scalar.Value)}", AmountHint(scalar.Value)), key.Range);
        else if (amount < key.Least || amount > key.Most)
            keys.Problems.Error(scalar, $"{subject} is out of range: {ProblemList.Quote(scalar.Value)}", Limits(key, bare));
        else
            return amount;
        return null;
    }

    /// <summary>
    /// The key's limits once more in the unit in which a bare number of this garden is meant, where that is not the one they are
    /// written in.
    /// </summary>
    private static Sentence Limits(GardenKey key, Unit? bare) =>
        bare is { IsCustomary: true } && key is { Least: { } least, Most: { } most }
            ? $"{key.Range}; in {new Name(bare.ToString())}: {Written(bare.FromReckoned(least))} to {Written(bare.FromReckoned(most))}"
            : key.Range;

    // As it is written in the file: with a decimal point in every language.
    private static Name Written(double number) => new(number.ToString("0.##", CultureInfo.InvariantCulture));

    private static Sentence? AmountHint(string value) =>
        DecimalHint(value) ?? (value.All(c => char.IsAsciiDigit(c) || c == '.') ? (Sentence)$"the unit is missing" : null);

    private static Sentence? DecimalHint(string value) =>
        value.Contains(',', StringComparison.Ordinal) ? (Sentence)$"decimals are written with a point" : null;

    private static Sentence Hinted(Sentence says, Sentence? hint) => hint is null ? says : $"{says}; {hint}";

    private static double? NumberOf(SectionReader keys, YamlScalar scalar, string name, Sentence subject)
    {
        var key = keys.Key(name);
        var shown = ProblemList.Quote(scalar.Value);
        if (scalar.Quoted)
            keys.Problems.Error(scalar, $"{subject} is a number, but quotes make {shown} text", $"{key.Range}, without quotes");
        else if (
            !double.TryParse(scalar.Value, NumberStyles.Float, CultureInfo.InvariantCulture, out var number) || !double.IsFinite(number))
            keys.Problems.Error(
                scalar, Hinted($"{subject} is a number, but {shown} cannot be read as one", DecimalHint(scalar.Value)), key.Range);
        else if (number < key.Least || number > key.Most)
            keys.Problems.Error(scalar, $"{subject} is out of range: {shown}", key.Range);
        else
            return number;
        return null;
    }
}
