using System.Text.Json.Serialization;
using BackyardSentinel.Garden;
using BackyardSentinel.Watching;
using static System.Text.Json.Serialization.JsonIgnoreCondition;

namespace BackyardSentinel.Contract;

/// <summary>journal list --json: what you did and saw.</summary>
/// <param name="Entries">The entries that hold, by day and number.</param>
[SchemaFile("journal")]
public sealed record JournalDocument(IReadOnlyList<JournalLine> Entries);

/// <summary>A journal entry as it is kept and printed; amounts stay as they were written.</summary>
/// <param name="Number">Its number, from 1.</param>
/// <param name="On">Local day.</param>
/// <param name="Site">The site.</param>
/// <param name="Planting">The planting.</param>
/// <param name="Kind">What it is about.</param>
/// <param name="Code">Bud stage, BBCH code of stone fruit.</param>
/// <param name="Product">The product.</param>
/// <param name="VolumeL">Mixture used on the whole planting, L.</param>
/// <param name="DosePerL">Product in a litre of it, g or mL; missing: the label's dose.</param>
/// <param name="At">Local time of ending.</param>
/// <param name="Shoots">Shoots looked at.</param>
/// <param name="Curled">Of these with curl.</param>
/// <param name="Symptom">The furthest seen.</param>
/// <param name="FallenPct">Share of leaves down, %.</param>
/// <param name="Shelter">Over the planting from the beginning of that day, or no longer.</param>
/// <param name="Note">Your own words.</param>
public sealed record JournalLine(
    [Bounds(1)] long Number,
    DateOnly On,
    string Site,
    string Planting,
    [OneOf(typeof(JournalEntry), nameof(JournalEntry.Kinds))] string Kind,
    [property: JsonIgnore(Condition = WhenWritingNull)][Only(nameof(Kind), StageEntry.Word)][Bounds(0, 99)] int? Code = null,
    [property: JsonIgnore(Condition = WhenWritingNull)][Only(nameof(Kind), SprayEntry.Word)] string? Product = null,
    [property: JsonIgnore(Condition = WhenWritingNull), JsonConverter(typeof(AsWrittenConverter))]
    [Only(nameof(Kind), SprayEntry.Word)]
    [Bounds(SprayEntry.LeastVolumeL, SprayEntry.MostVolumeL)]
        double? VolumeL = null,
    [property: JsonIgnore(Condition = WhenWritingNull), JsonConverter(typeof(AsWrittenConverter))]
    [Only(nameof(Kind), SprayEntry.Word, MayLack = true)]
    [Bounds(SprayEntry.LeastDosePerL, SprayEntry.MostDosePerL)]
        double? DosePerL = null,
    [property: JsonIgnore(Condition = WhenWritingNull)][Only(nameof(Kind), SprayEntry.Word, MayLack = true)] TimeOnly? At = null,
    [property: JsonIgnore(Condition = WhenWritingNull)]
    [Only(nameof(Kind), ScoutEntry.Word)]
    [Bounds(1, JournalCheck.MostShoots)]
        int? Shoots = null,
    [property: JsonIgnore(Condition = WhenWritingNull)]
    [Only(nameof(Kind), ScoutEntry.Word)]
    [Bounds(0, JournalCheck.MostShoots)]
        int? Curled = null,
    [property: JsonIgnore(Condition = WhenWritingNull)][Only(nameof(Kind), ScoutEntry.Word, MayLack = true)] SymptomStage? Symptom = null,
    [property: JsonIgnore(Condition = WhenWritingNull), JsonConverter(typeof(AsWrittenConverter))]
    [Only(nameof(Kind), LeafFallEntry.Word)]
    [Bounds(0, 100)]
        double? FallenPct = null,
    [property: JsonIgnore(Condition = WhenWritingNull)][Only(nameof(Kind), ShelterEntry.Word)] ShelterWord? Shelter = null,
    [property: JsonIgnore(Condition = WhenWritingNull)][Bounds(0)] string? Note = null)
{
    /// <summary>The line of an entry.</summary>
    /// <param name="entry">The entry.</param>
    public static JournalLine Of(JournalEntry entry)
    {
        var line = new JournalLine(entry.Number, entry.On, entry.Site, entry.Planting, entry.Kind, Note: entry.Note);
        return entry switch
        {
            StageEntry stage => line with { Code = stage.Code },
            SprayEntry spray => line with
            {
                Product = spray.Product,
                VolumeL = spray.VolumeL,
                DosePerL = spray.DosePerL,
                At = spray.At,
            },
            ScoutEntry scout => line with { Shoots = scout.Shoots, Curled = scout.Curled, Symptom = scout.Symptom },
            PickEntry => line,
            LeafFallEntry fall => line with { FallenPct = fall.FallenPct },
            ShelterEntry shelter => line with { Shelter = shelter.IsOn ? ShelterWord.On : ShelterWord.Off },
            _ => throw new ArgumentOutOfRangeException(nameof(entry), entry, "This kind of entry has no line."),
        };
    }
}

/// <summary>What was done with a rain shelter.</summary>
public enum ShelterWord
{
    /// <summary>It was put over the planting.</summary>
    On,

    /// <summary>It was taken off.</summary>
    Off,
}
