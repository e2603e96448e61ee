using BackyardSentinel.Garden;
using BackyardSentinel.Scouting;
using BackyardSentinel.Spraying;
using BackyardSentinel.Wording;

namespace BackyardSentinel.Watching;

/// <summary>What follows from an entry that was written down, whatever it was written with.</summary>
public static class JournalFollows
{
    /// <summary>The sentences, the cautions of a spray or the advice on a finding; empty: nothing is asked for.</summary>
    /// <param name="entry">The entry.</param>
    /// <param name="products">The products of the garden.</param>
    public static IReadOnlyList<Sentence> Of(JournalEntry entry, IEnumerable<SprayProduct> products) => entry switch
    {
        // Local times throughout: the label's hours are counted by the clock on the wall.
        SprayEntry spray when products.FirstOrDefault(product => product.Id == spray.Product) is { } product =>
            [SpraySafety.After(product, spray.On.ToDateTime(spray.At ?? new TimeOnly(23, 59)))],
        ScoutEntry scout =>
        [
            $"{scout.Curled} of {scout.Shoots} shoots: {Said(ScoutingAdvice.BandOf(scout.Shoots, scout.Curled))}.",
            .. ScoutingAdvice.For(scout),
        ],
        _ => [],
    };

    private static Sentence Said(SeverityBand band) => band switch
    {
        SeverityBand.None => $"none",
        SeverityBand.Trace => $"trace",
        SeverityBand.Light => $"light",
        SeverityBand.Moderate => $"moderate",
        SeverityBand.Heavy => $"heavy",
    };
}
