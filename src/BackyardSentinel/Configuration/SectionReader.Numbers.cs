using System.Globalization;
using BackyardSentinel.Units;

namespace BackyardSentinel.Configuration;

/// <summary>The getters of numbers, durations and amounts with units.</summary>
internal sealed partial class SectionReader
{
    public double Number(string name) =>
        OptionalNumber(name) ?? double.Parse(_section[name].Default, CultureInfo.InvariantCulture);

    /// <summary>The number, or <c>null</c> when the key is left out or wrong.</summary>
    public double? OptionalNumber(string name) =>
        Scalar(name) is { } scalar ? NumberOf(scalar, name, $"'{name}'") : null;

    public int Whole(string name) =>
        OptionalWhole(name) ?? int.Parse(_section[name].Default, CultureInfo.InvariantCulture);

    /// <summary>The whole number, or <c>null</c> when the key is left out or wrong.</summary>
    public int? OptionalWhole(string name)
    {
        if (OptionalNumber(name) is not { } number)
            return null;
        if (number == Math.Floor(number) && Math.Abs(number) <= int.MaxValue)
            return (int)number;
        _problems.Error(Place(name), $"'{name}' is a whole number; this one has decimals", _section[name].Range);
        return null;
    }

    /// <summary>A list of exactly so many amounts, or <c>null</c> when the key is left out or wrong.</summary>
    /// <param name="name">The key.</param>
    /// <param name="count">How many belong there.</param>
    /// <param name="dimension">What is measured.</param>
    /// <param name="bare">The unit of a number without one.</param>
    public IReadOnlyList<double>? Amounts(string name, int count, Dimension dimension, Unit bare)
    {
        switch (Node(name))
        {
            case null or YamlRefused:
                return null;
            case YamlSequence list when list.Items.Count != count:
                _problems.Error(list, $"'{name}' has {list.Items.Count} numbers where {count} belong", _section[name].Range);
                return null;
            case YamlSequence list:
                List<double> amounts = [];
                foreach (var item in list.Items)
                {
                    if (item is YamlScalar { IsEmpty: false } scalar)
                    {
                        if (AmountOf(scalar, name, $"an entry of '{name}'", dimension, bare) is { } amount)
                            amounts.Add(amount);
                    }
                    else if (item is not YamlRefused)
                        _problems.Error(item, $"an entry of '{name}' is a number, but {Kind(item)} stands here", _section[name].Range);
                }

                return amounts.Count == count ? amounts : null;
            case { } other:
                _problems.Error(other, $"'{name}' is a list of {count} numbers, but {Kind(other)} stands here", _section[name].Range);
                return null;
        }
    }

    public TimeSpan Duration(string name) =>
        OptionalDuration(name) ?? DurationText.Parse(_section[name].Default)!.Value;

    /// <summary>The duration, or <c>null</c> when the key is left out or wrong.</summary>
    public TimeSpan? OptionalDuration(string name)
    {
        var key = _section[name];
        if (Scalar(name) is not { } scalar)
            return null;
        if (DurationText.Parse(scalar.Value) is not { } duration)
        {
            var hint = scalar.Value.All(char.IsAsciiDigit) ? "; the unit is missing" : "";
            _problems.Error(
                scalar,
                $"'{name}' is a duration, but {ProblemList.Quote(scalar.Value)} cannot be read as one{hint}",
                $"{key.Range}, written like 30s, 10m, 2h or 1h30m");
        }
        else if (duration.TotalSeconds < key.Least || duration.TotalSeconds > key.Most)
            _problems.Error(scalar, $"'{name}' is out of range: {ProblemList.Quote(scalar.Value)}", key.Range);
        else
            return duration;
        return null;
    }

    /// <summary>
    /// A number with a unit, as it is reckoned (L, °C, m/s, mm, m²), or <c>null</c> when the key is left out or wrong. The
    /// key's limits are in these units.
    /// </summary>
    /// <param name="name">The key.</param>
    /// <param name="dimension">What is measured.</param>
    /// <param name="bare">The unit of a number without one; <c>null</c> refuses such a number.</param>
    public double? OptionalAmount(string name, Dimension dimension, Unit? bare = null) =>
        Scalar(name) is { } scalar ? AmountOf(scalar, name, $"'{name}'", dimension, bare) : null;

    /// <summary>The same, with the key's default where it is left out or wrong.</summary>
    /// <param name="name">The key.</param>
    /// <param name="dimension">What is measured.</param>
    /// <param name="bare">The unit of a number without one; the default has a unit.</param>
    public double Amount(string name, Dimension dimension, Unit bare) =>
        OptionalAmount(name, dimension, bare) ?? AmountText.Parse(_section[name].Default, dimension)!.Value;

    private double? AmountOf(YamlScalar scalar, string name, string subject, Dimension dimension, Unit? bare)
    {
        var key = _section[name];
        if (AmountText.Parse(scalar.Value, dimension, bare) is not { } amount)
            _problems.Error(scalar, $"{subject} cannot be {ProblemList.Quote(scalar.Value)}{AmountHint(scalar.Value)}", key.Range);
        else if (amount < key.Least || amount > key.Most)
            _problems.Error(scalar, $"{subject} is out of range: {ProblemList.Quote(scalar.Value)}", $"{key.Range}{Limits(key, bare)}");
        else
            return amount;
        return null;
    }

    /// <summary>
    /// The key's limits once more in the unit in which a bare number of this garden is meant, where that is not the one they are
    /// written in.
    /// </summary>
    private static string Limits(GardenKey key, Unit? bare) =>
        bare is { IsCustomary: true } && key is { Least: not null, Most: not null }
            ? string.Create(
                CultureInfo.InvariantCulture,
                $"; in {bare}: {bare.FromReckoned(key.Least!.Value):0.##} to {bare.FromReckoned(key.Most!.Value):0.##}")
            : "";

    private static string AmountHint(string value) =>
        value.Contains(',', StringComparison.Ordinal) ? "; decimals are written with a point"
        : value.All(c => char.IsAsciiDigit(c) || c == '.') ? "; the unit is missing"
        : "";

    private double? NumberOf(YamlScalar scalar, string name, string subject)
    {
        var key = _section[name];
        var shown = ProblemList.Quote(scalar.Value);
        if (scalar.Quoted)
            _problems.Error(scalar, $"{subject} is a number, but quotes make {shown} text", $"{key.Range}, without quotes");
        else if (
            !double.TryParse(scalar.Value, NumberStyles.Float, CultureInfo.InvariantCulture, out var number) || !double.IsFinite(number))
            _problems.Error(scalar, $"{subject} is a number, but {shown} cannot be read as one{Hint(scalar.Value)}", key.Range);
        else if (number < key.Least || number > key.Most)
            _problems.Error(scalar, $"{subject} is out of range: {shown}", key.Range);
        else
            return number;
        return null;

        static string Hint(string value) => value.Contains(',', StringComparison.Ordinal) ? "; decimals are written with a point" : "";
    }
}
