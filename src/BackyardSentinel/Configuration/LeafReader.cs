using BackyardSentinel.Configuration.Keys;
using BackyardSentinel.Configuration.Reading;
using BackyardSentinel.Configuration.Yaml;
using BackyardSentinel.Garden;
using BackyardSentinel.Units;
using BackyardSentinel.Wording;

namespace BackyardSentinel.Configuration;

/// <summary>Reads those keys of a series that only leaf wetness has.</summary>
internal sealed class LeafReader
{
    private static readonly string[] Limits = ["wet_on", "wet_off", "inverted"];
    private static readonly IReadOnlyList<string> UsualWet = ["wet", "true", "on", "yes"], UsualDry = ["dry", "false", "off", "no"];

    private readonly bool _hasLimits;
    private readonly IReadOnlyList<string> _wet, _dry;

    private LeafReader(SectionReader keys, IReadOnlyList<string> wet, IReadOnlyList<string> dry) =>
        (_hasLimits, _wet, _dry) = (Limits.Any(keys.Has), wet, dry);

    /// <summary>How the sensor's values are read.</summary>
    public WetnessScale Scale { get; private init; }

    /// <summary>The time that wet minutes are counted over.</summary>
    public TimeSpan? Every { get; private init; }

    /// <summary>The sensor hangs under the rain shelter.</summary>
    public bool IsSheltered { get; private init; }

    public static LeafReader Read(SectionReader keys, ProblemList problems)
    {
        var (wet, dry) = (Words(keys, "wet_words"), Words(keys, "dry_words"));
        SeriesPaths.Need(keys, "wet_words", "dry_words", $"a word that is neither says nothing", problems);
        SeriesPaths.Need(keys, "dry_words", "wet_words", $"a word that is neither says nothing", problems);
        if (wet.Intersect(dry, StringComparer.OrdinalIgnoreCase).FirstOrDefault() is { } both)
            problems.Error(
                keys.Place("dry_words"),
                $"{ProblemList.Quote(both)} stands for a wet leaf and for a dry one",
                $"each word in one list only");
        var (limits, every) = (LimitsOf(keys, problems), keys.OptionalDuration("every"));
        return new LeafReader(keys, wet, dry)
        {
            Scale = every is null ? limits : WetnessScale.ShareOfTime,
            Every = every,
            IsSheltered = keys.Flag("under_shelter"),
        };
    }

    /// <summary>The words for wet and dry, which stand for the two ends of the usual scale.</summary>
    public (IReadOnlyList<string> Wet, IReadOnlyList<string> Dry) Words(Quantity quantity, Unit unit) =>
        quantity != Quantity.LeafWetness || _hasLimits || unit == Unit.Minute ? ([], [])
        : _wet.Count > 0 ? (_wet, _dry)
        : (UsualWet, UsualDry);

    /// <summary>Says as errors which of these keys another quantity has.</summary>
    public static void Refuse(SectionReader keys, string word, ProblemList problems)
    {
        foreach (var name in SeriesKeys.LeafOnly.Where(keys.Has))
            problems.Error(
                keys.Place(name),
                $"'{new Name(name)}' has a meaning for leaf wetness only, and this series is {new Name(word)}",
                $"no '{new Name(name)}' here");
    }

    /// <summary>Says what does not go with the unit.</summary>
    public static void CheckUnit(SectionReader keys, Quantity quantity, Unit unit, ProblemList problems)
    {
        if (quantity != Quantity.LeafWetness)
            return;
        var hasNoScale = unit == Unit.Minute || unit == Unit.WetOrDry;
        foreach (var name in Limits.Where(name => keys.Has(name) && (hasNoScale || keys.Has("wet_words"))))
            problems.Error(
                keys.Place(name),
                hasNoScale
                    ? (Sentence)$"'{new Name(name)}' has no meaning with 'unit: {new Name(unit.ToString())}'"
                    : $"'{new Name(name)}' and words for wet and dry do not go together",
                $"no '{new Name(name)}' here");
        if (unit == Unit.Minute && !keys.Has("every"))
            problems.Error(
                keys.Place("unit"),
                $"'unit: min' is there without 'every': minutes of how long?",
                $"'every' with the time that a message speaks of, such as 10m");
        if (unit != Unit.Minute && keys.Has("every"))
            problems.Error(keys.Place("every"), $"'every' is there without 'unit: min'", $"'unit: min' as well, or no 'every'");
        if (unit == Unit.Minute && keys.Has("wet_words"))
            problems.Error(keys.Place("wet_words"), $"'wet_words' has no meaning with 'unit: min'", $"no 'wet_words' here");
        if (unit == Unit.Count && !keys.Has("wet_on"))
            problems.Note(
                keys.Place("unit"),
                $"counts without 'wet_on' are compared with 50, which a sensor that counts 0 to 15 never "
                    + $"reaches: its leaf would never be wet",
                $"'wet_on' with the count at which your sensor's leaf is wet, such as 7 of 15");
    }

    private static IReadOnlyList<string> Words(SectionReader keys, string name) =>
        keys.ListOf(name, item => string.IsNullOrWhiteSpace(item.Value) || item.Value.Any(char.IsControl) ? null : item.Value.Trim());

    /// <summary>The wetness limits. A limit off left out beside a limit on means one limit for both ways.</summary>
    private static WetnessScale LimitsOf(SectionReader keys, ProblemList problems)
    {
        var inverted = keys.Flag("inverted");
        var on = keys.Number("wet_on");
        var off = keys.Has("wet_off") || !(keys.Has("wet_on") || inverted) ? keys.Number("wet_off") : on;
        if (inverted && !keys.Has("wet_on"))
            problems.Error(
                keys.Place("inverted"),
                $"'inverted' is there without 'wet_on', and the usual limits make no sense for a sensor that falls when wet",
                $"'wet_on' with the value at which your sensor's leaf is wet");
        else if (inverted ? off < on : off > on)
            problems.Error(keys.Place("wet_off"), inverted
                ? (Sentence)$"'wet_off' is below 'wet_on', but an inverted sensor rises when it dries, so it could never turn dry properly"
                : $"'wet_off' is above 'wet_on', so the leaf would turn dry before it turned wet", keys.Range("wet_off"));
        else
            return new WetnessScale(on, off, inverted);
        return default;
    }
}
