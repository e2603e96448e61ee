namespace BackyardSentinel.Web.Journal;

/// <summary>What stands in a form: what was preset, or what came back.</summary>
internal sealed class FormValues
{
    private readonly Dictionary<string, IReadOnlyList<string>> _values = new(StringComparer.Ordinal);

    /// <summary>What came back.</summary>
    /// <param name="form">The form.</param>
    public static FormValues Of(IFormCollection form)
    {
        var values = new FormValues();
        foreach (var (name, value) in form)
            values._values[name] = [.. value.OfType<string>()];
        return values;
    }

    /// <summary>Sets a field.</summary>
    /// <param name="name">The field.</param>
    /// <param name="values">What stands in it; of a question with several answers, all.</param>
    public FormValues Set(string name, params IReadOnlyList<string> values)
    {
        _values[name] = values;
        return this;
    }

    /// <summary>What stands in a field; empty: nothing.</summary>
    /// <param name="name">The field.</param>
    public string One(string name) => Many(name) is [var first, ..] ? first.Trim() : "";

    /// <summary>All that is chosen of a question with several answers.</summary>
    /// <param name="name">The question.</param>
    public IReadOnlyList<string> Many(string name) => _values.GetValueOrDefault(name, []);

    /// <summary>An answer is chosen.</summary>
    /// <param name="name">The question.</param>
    /// <param name="value">The answer.</param>
    public bool Has(string name, string value) => Many(name).Contains(value);
}
