using System.Globalization;

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

    /// <summary>A list of exactly so many numbers, or <c>null</c> when the key is left out or wrong.</summary>
    public IReadOnlyList<double>? Numbers(string name, int count)
    {
        switch (Node(name))
        {
            case null or YamlRefused:
                return null;
            case YamlSequence list when list.Items.Count != count:
                _problems.Error(list, $"'{name}' has {list.Items.Count} numbers where {count} belong", _section[name].Range);
                return null;
            case YamlSequence list:
                List<double> numbers = [];
                foreach (var item in list.Items)
                {
                    if (item is YamlScalar { IsEmpty: false } scalar)
                    {
                        if (NumberOf(scalar, name, $"an entry of '{name}'") is { } number)
                            numbers.Add(number);
                    }
                    else if (item is not YamlRefused)
                        _problems.Error(item, $"an entry of '{name}' is a number, but {Kind(item)} stands here", _section[name].Range);
                }

                return numbers.Count == count ? numbers : null;
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
            _problems.Error(scalar, $"'{name}' is a duration, but {ProblemList.Quote(scalar.Value)} cannot be read as one{hint}", $"{key.Range}, written like 30s, 10m, 2h or 1h30m");
        }
        else if (duration.TotalSeconds < key.Least || duration.TotalSeconds > key.Most)
            _problems.Error(scalar, $"'{name}' is out of range: {ProblemList.Quote(scalar.Value)}", key.Range);
        else
            return duration;
        return null;
    }

    /// <summary>
    /// A number with a unit, as litres, °C or m/s, or <c>null</c> when the key is left out or wrong. The key's limits are
    /// in these units.
    /// </summary>
    public double? OptionalAmount(string name, AmountKind kind)
    {
        var key = _section[name];
        if (Scalar(name) is not { } scalar)
            return null;
        if (AmountText.Parse(scalar.Value) is not { } amount || amount.Kind != kind)
            _problems.Error(scalar, $"'{name}' cannot be {ProblemList.Quote(scalar.Value)}{AmountHint(scalar.Value)}", key.Range);
        else if (amount.Value < key.Least || amount.Value > key.Most)
            _problems.Error(scalar, $"'{name}' is out of range: {ProblemList.Quote(scalar.Value)}", key.Range);
        else
            return amount.Value;
        return null;
    }

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
        else if (!double.TryParse(scalar.Value, NumberStyles.Float, CultureInfo.InvariantCulture, out var number) || !double.IsFinite(number))
            _problems.Error(scalar, $"{subject} is a number, but {shown} cannot be read as one{Hint(scalar.Value)}", key.Range);
        else if (number < key.Least || number > key.Most)
            _problems.Error(scalar, $"{subject} is out of range: {shown}", key.Range);
        else
            return number;
        return null;

        static string Hint(string value) => value.Contains(',', StringComparison.Ordinal) ? "; decimals are written with a point" : "";
    }
}
