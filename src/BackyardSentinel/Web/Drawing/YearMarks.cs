using BackyardSentinel.Delivery;
using BackyardSentinel.Garden;

namespace BackyardSentinel.Web.Drawing;

/// <summary>What was done and seen in a season, each with the letter that stands in the strip.</summary>
/// <param name="Letter">The letter.</param>
/// <param name="Entry">The entry of the journal.</param>
public readonly record struct YearMark(string Letter, JournalEntry Entry)
{
    /// <summary>The local day.</summary>
    public DateOnly On => Entry.On;
}

/// <summary>Gives the letters and the words of the marks.</summary>
public static class YearMarks
{
    /// <summary>The marks of a season, by day.</summary>
    public static IEnumerable<YearMark> Of(YearFacts facts) => facts.Entries
        .Where(entry => entry.On >= facts.FirstDay && entry.On < facts.LastDay)
        .Select((entry, i) => new YearMark(Letter(i), entry));

    /// <summary>What an entry tells, in few words.</summary>
    /// <param name="entry">The entry.</param>
    /// <param name="site">Its site.</param>
    /// <param name="words">The words.</param>
    public static string Text(JournalEntry entry, Site site, PageWords words) => entry switch
    {
        SprayEntry spray => words.Say("entry.spray", ("product", site.ProductCalled(spray.Product))),
        StageEntry { Code: 0 } => words.Say("entry.shut"),
        StageEntry stage => words.Say("entry.stage", ("stage", words.Say("stage." + stage.Code))),
        ScoutEntry { Curled: 0 } scout => words.Say("entry.scout.none", ("shoots", words.Number(scout.Shoots))),
        ScoutEntry scout => words.Say("entry.scout.curl", ("curled", words.Number(scout.Curled)), ("shoots", words.Number(scout.Shoots))),
        PickEntry => words.Say("entry.pick"),
        LeafFallEntry fall => words.Say("entry.leaf-fall", ("percent", words.Number(fall.FallenPct, "0"))),
        ShelterEntry shelter => words.Say(shelter.IsOn ? "entry.shelter.on" : "entry.shelter.off"),
        _ => throw new System.Diagnostics.UnreachableException(entry.Kind),
    };

    /// <summary>a to z, then a2, b2 and so on.</summary>
    private static string Letter(int index) =>
        index < 26 ? ((char)('a' + index)).ToString() : FormattableString.Invariant($"{(char)('a' + (index % 26))}{(index / 26) + 1}");
}
