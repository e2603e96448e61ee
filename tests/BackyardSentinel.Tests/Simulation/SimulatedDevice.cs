namespace BackyardSentinel.Simulation;

/// <summary>One sensor of a site.</summary>
/// <param name="Site">The site's id.</param>
/// <param name="Quantity">What it measures.</param>
/// <param name="TellsTime">It names the time of its readings; otherwise they count when they come.</param>
internal sealed record SimulatedDevice(string Site, Quantity Quantity, bool TellsTime)
{
    /// <summary>A value that no sensor can mean.</summary>
    public const double Impossible = 9999;

    public string Topic { get; } = $"{Site}/{Quantity}".ToLowerInvariant();

    /// <summary>The garden file's lines for it.</summary>
    public string Lines =>
        $"""
              - quantity: {Word}
                topic: {Topic}
                path: v
        {(TellsTime ? "        time: at\n" : "")}
        """;

    private string Word => Quantity == Quantity.LeafWetness ? "leaf-wetness" : Quantity.ToString().ToLowerInvariant();

    /// <summary>What it says.</summary>
    public string Says(double value, long ms) =>
        TellsTime
            ? FormattableString.Invariant($"{{\"v\":{value},\"at\":{ms}}}")
            : FormattableString.Invariant($"{{\"v\":{value}}}");
}

/// <summary>Invented weather: days and nights, and wet spells from the seed. The same moment always has the same.</summary>
/// <param name="seed">The seed.</param>
internal sealed class SimulatedWeather(int seed)
{
    /// <summary>What a sensor measures then.</summary>
    public double At(Quantity quantity, DateTimeOffset time, int site)
    {
        var hours = time.ToUnixTimeSeconds() / 3600.0;
        var day = (int)(hours / 24);
        // Two days in five have a wet spell of 4 to 40 hours.
        var isWet = Enumerable.Range(day - 2, 3).Any(begun =>
        {
            var into = hours - (begun * 24) - (24 * Chance(begun, 2));
            return Chance(begun, 1) < 0.4 && into >= 0 && into < 4 + (36 * Chance(begun, 3));
        });
        var jitter = Chance((int)(hours * 6), 10 + site);
        return quantity switch
        {
            Quantity.Temperature => Math.Round(
                9 + (7 * Math.Sin((day - 110) / 58.0)) + (isWet ? 1.5 : 5) * Math.Sin((hours - 9) / 24 * 2 * Math.PI) + jitter, 2),
            Quantity.Humidity => Math.Round(isWet ? 94 + (5 * jitter) : 58 + (14 * jitter), 1),
            Quantity.Rain => isWet && jitter < 0.5 ? Math.Round(0.2 + jitter, 1) : 0,
            Quantity.LeafWetness => isWet ? 100 : 0,
            _ => throw new ArgumentOutOfRangeException(nameof(quantity), quantity, "No such sensor here."),
        };
    }

    private double Chance(int what, int of)
    {
        // SplitMix64: the same on every machine.
        var x = unchecked((ulong)seed * 0x9E3779B97F4A7C15 + (ulong)what * 0xBF58476D1CE4E5B9 + (ulong)of * 0x94D049BB133111EB);
        x = unchecked((x ^ (x >> 30)) * 0xBF58476D1CE4E5B9);
        x = unchecked((x ^ (x >> 27)) * 0x94D049BB133111EB);
        return ((x ^ (x >> 31)) >> 11) * (1.0 / (1UL << 53));
    }
}
