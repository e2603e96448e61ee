using BackyardSentinel.Garden;
using BackyardSentinel.Scouting;
using BackyardSentinel.Spraying;
using BackyardSentinel.Weather;
using BackyardSentinel.Wording;

namespace BackyardSentinel.Watching;

/// <summary>What follows from an entry that was written down, whatever it was written with.</summary>
public static class JournalFollows
{
    /// <summary>The sentences, the cautions of a spray or the advice on a finding; empty: nothing is asked for.</summary>
    /// <param name="entry">The entry.</param>
    /// <param name="products">The products of the garden.</param>
    /// <param name="zone">The zone of its site.</param>
    public static IReadOnlyList<Sentence> Of(JournalEntry entry, IEnumerable<SprayProduct> products, TimeZoneInfo zone) => entry switch
    {
        SprayEntry spray when products.FirstOrDefault(product => product.Id == spray.Product) is { } product =>
            [SpraySafety.After(product, LocalClock.Last(spray.On, spray.At ?? new TimeOnly(23, 59), zone), zone)],
        ScoutEntry scout =>
        [
            $"{scout.Curled} of {scout.Shoots} shoots: {Said(ScoutingAdvice.BandOf(scout.Shoots, scout.Curled))}.",
            .. ScoutingAdvice.For(scout),
        ],
        ShelterEntry { IsOn: true } shelter =>
        [
            $"It counts from {LocalTime.Of(shelter.On.AddDays(1), TimeForm.Weekday)} on: the rain of the day before may have wetted the "
                + $"tree.",
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
