namespace BackyardSentinel.Forecasts;

/// <summary>What there is to say about a forecast: each sentence once, and not without end.</summary>
internal sealed class ForecastRemarks
{
    private const int Most = 20;
    private readonly List<string> _said = [];

    public IReadOnlyList<string> Said => _said;

    public void Add(string sentence)
    {
        if (_said.Count < Most && !_said.Contains(sentence)) _said.Add(sentence);
    }
}
