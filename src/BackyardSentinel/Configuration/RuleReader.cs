using BackyardSentinel.Configuration.Keys;
using BackyardSentinel.Configuration.Reading;
using BackyardSentinel.Configuration.Yaml;
using BackyardSentinel.Garden;
using BackyardSentinel.Units;
using BackyardSentinel.Wording;

namespace BackyardSentinel.Configuration;

/// <summary>
/// Reads the entries of <c>rules</c>: variants of the infection rules, an entry for each day on which the limits of one change.
/// </summary>
internal sealed class RuleReader(UnitSystem units, ProblemList problems)
{
    /// <summary>A variant named so would share the keys of events with another's windows that a rain shelter kept off.</summary>
    private const string Taken = "-sheltered";

    private readonly Unit _degrees = units.UnitOf(Dimension.Temperature);

    /// <summary>The names that stand in the file, those of broken entries too.</summary>
    public List<string> Names { get; } = [];

    /// <summary>The variants, in the order of the file.</summary>
    public IReadOnlyList<RuleVariant> ReadAll(SectionReader garden)
    {
        var entries = garden.List("rules").Select(Read).OfType<Entry>().ToList();
        return
        [
            .. entries.GroupBy(entry => entry.Name).Select(named => new RuleVariant(
                named.Key,
                named.First().Of,
                [.. Distinct(named).OrderBy(entry => entry.Change.From).Select(entry => entry.Change)])),
        ];
    }

    private sealed record Entry(string Name, RuleName Of, LimitChange Change, YamlMapping Map);

    private List<Entry> Distinct(IEnumerable<Entry> named)
    {
        List<Entry> kept = [];
        foreach (var entry in named)
        {
            if (kept.Count > 0 && kept[0].Of != entry.Of)
                problems.Error(
                    entry.Map,
                    $"'{new Name(entry.Name)}' is a variant of {new Name(kept[0].Of.Word())} in {kept[0].Map.Where}; "
                        + $"it cannot be one of {new Name(entry.Of.Word())} too",
                    $"another name, or variant_of: {new Name(kept[0].Of.Word())}");
            else if (kept.Find(one => one.Change.From == entry.Change.From) is { } twin)
                problems.Error(
                    entry.Map,
                    entry.Change.From == DateOnly.MinValue
                        ? (Sentence)($"'{new Name(entry.Name)}' has limits in {twin.Map.Where} already that hold always; "
                            + $"which of them hold is not clear")
                        : $"'{new Name(entry.Name)}' has limits in {twin.Map.Where} already that hold from the same day; "
                            + $"which of them hold is not clear",
                    $"a name of its own, or a 'from' with the day from which these hold");
            else
                kept.Add(entry);
        }

        return kept;
    }

    private Entry? Read(YamlMapping map)
    {
        SectionReader keys = new(map, RuleKeys.Rule, problems);
        var (name, of, from) = (Name(keys), keys.Choice<RuleName>("variant_of", RuleNames.Word), From(keys));
        if (of is not { } rule)
            return null;
        foreach (var foreign in RuleKeys.Foreign(rule).Where(keys.Has))
            problems.Error(
                keys.Place(foreign),
                $"'{new Name(foreign)}' is no limit of the rule {new Name(rule.Word())}",
                $"no '{new Name(foreign)}' here, or another 'variant_of'");
        RuleLimits? limits = rule switch
        {
            RuleName.WetHours => WetHours(keys),
            RuleName.RainDay => RainDay(keys),
            RuleName.TwoDay => TwoDay(keys),
        };
        return name is null || limits is null ? null : new Entry(name, rule, new LimitChange(from, limits), map);
    }

    private string? Name(SectionReader keys)
    {
        if (keys.Scalar("name") is not { } scalar)
            return null;
        var name = scalar.Value;
        Names.Add(name);
        if (RuleNames.Of(name) is not null)
            problems.Error(
                scalar,
                $"'{new Name(name)}' is the name of a rule that judges as published; a variant needs another",
                $"a name of its own");
        else if (!IdText.IsId(name) || name.EndsWith(Taken, StringComparison.Ordinal))
            problems.Error(scalar, $"a rule cannot be called {ProblemList.Quote(name)}", keys.Range("name"));
        else
            return name;
        return null;
    }

    private DateOnly From(SectionReader keys)
    {
        if (keys.Scalar("from") is not { } scalar)
            return DateOnly.MinValue;
        if (JournalAmounts.Day(scalar.Value, units, out _) is { } day)
            return day;
        problems.Error(scalar, $"'from' is {ProblemList.Quote(scalar.Value)}, which is no day", keys.Range("from"));
        return DateOnly.MinValue;
    }

    private WetHoursLimits? WetHours(SectionReader keys)
    {
        WetHoursLimits usual = new();
        var (rain, hours, temperature, full, cool) = (
            Rain(keys, "rain", WetHoursLimits.RainMm) ?? usual.MinRainMm,
            Hours(keys, "wet_hours", WetHoursLimits.WetHours) ?? usual.MinWetHours,
            Degrees(keys, "temperature", WetHoursLimits.TempC) ?? usual.MaxMeanTempC,
            Hours(keys, "full_wet_hours", WetHoursLimits.WetHours) ?? usual.FullWetHours,
            Degrees(keys, "full_temperature", WetHoursLimits.TempC) ?? usual.FullTempC);
        return IsAbove(keys, "full_wet_hours", full > hours, UnitSystem.Hours(full), $"does not lie above 'wet_hours'")
            & IsAbove(keys, "full_temperature", cool < temperature, units.Temperature(cool), $"does not lie below 'temperature'")
            ? new WetHoursLimits(rain, hours, temperature, full, cool)
            : null;
    }

    private RainDayLimits RainDay(SectionReader keys)
    {
        RainDayLimits usual = new();
        return new RainDayLimits(
            Rain(keys, "rain", RainDayLimits.RainMm) ?? usual.RainAboveMm,
            Degrees(keys, "temperature", RainDayLimits.TempC) ?? usual.MaxTempAboveC);
    }

    private TwoDayLimits? TwoDay(SectionReader keys)
    {
        TwoDayLimits usual = new();
        var (low, high, hours, severe) = (
            Degrees(keys, "lowest_temperature", TwoDayLimits.TempC) ?? usual.MinTempC,
            Degrees(keys, "temperature", TwoDayLimits.TempC) ?? usual.MaxTempC,
            Hours(keys, "wet_hours", TwoDayLimits.Hours) ?? usual.LikelyHours,
            Hours(keys, "severe_hours", TwoDayLimits.Hours) ?? usual.SevereHours);
        return IsAbove(keys, "lowest_temperature", low <= high, units.Temperature(low), $"lies above 'temperature'")
            & IsAbove(keys, "severe_hours", severe >= hours, UnitSystem.Hours(severe), $"lies below 'wet_hours'")
            ? new TwoDayLimits(
                low,
                high,
                keys.OptionalNumber("humidity") ?? usual.MinHumidityPct,
                hours,
                severe,
                keys.OptionalDuration("dry_gap")?.TotalHours ?? usual.LongestBreak.TotalHours)
            : null;
    }

    /// <summary>Two limits belong together, whether the file gives them or the published ones hold.</summary>
    private bool IsAbove(SectionReader keys, string key, bool isSo, string value, Sentence fault)
    {
        if (!isSo)
            problems.Error(
                keys.Place(key),
                keys.Has(key)
                    ? (Sentence)$"'{new Name(key)}', {new Figure(value)}, {fault}"
                    : $"'{new Name(key)}' is left out, and what holds then, {new Figure(value)}, {fault}",
                keys.Range(key));
        return isSo;
    }

    private double? Rain(SectionReader keys, string key, LimitRange range) =>
        Within(keys, key, keys.OptionalAmount(key, Dimension.Depth, units.UnitOf(Dimension.Depth)), range, units.Rain);

    private double? Degrees(SectionReader keys, string key, LimitRange range) =>
        Within(keys, key, keys.OptionalAmount(key, Dimension.Temperature, _degrees), range, celsius => units.Temperature(celsius));

    private double? Hours(SectionReader keys, string key, LimitRange range) =>
        Within(keys, key, keys.OptionalNumber(key), range, UnitSystem.Hours);

    /// <summary>The rules differ in how far a limit may be moved.</summary>
    private double? Within(SectionReader keys, string key, double? value, LimitRange range, Func<double, string> said)
    {
        if (value is not { } limit || range.Contains(limit))
            return value;
        var (least, most) = (new Figure(said(range.Least)), new Figure(said(range.Most)));
        problems.Error(
            keys.Place(key),
            $"'{new Name(key)}' is {new Figure(said(limit))}, and for a variant of {new Name(keys.Word("variant_of")!)} "
                + $"it lies from {least} to {most}",
            $"{least} to {most}");
        return null;
    }
}
