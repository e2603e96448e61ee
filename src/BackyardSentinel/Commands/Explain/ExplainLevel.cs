using System.Globalization;
using BackyardSentinel.Garden;
using BackyardSentinel.Infection;
using BackyardSentinel.Units;
using BackyardSentinel.Watching;
using BackyardSentinel.Weather;

namespace BackyardSentinel.Commands.Explain;

/// <summary>Explains a planting's level, the wet spell behind it and the rules' arithmetic.</summary>
internal static class ExplainLevel
{
    /// <summary>The level, since when and by which rule.</summary>
    public static string Level(ExplainScene scene, PlantingWatch planting)
    {
        var risk = planting.Risk;
        var level = string.Create(
            CultureInfo.InvariantCulture,
            $"{risk.Level.Bar()} {risk.Level.Word()}{(risk.Level == Infection.Level.Unknown ? "" : $" ({(int)risk.Level})")}");
        var since = risk.Since is { } from ? $" since {scene.Local(from)}" : "";
        if (risk.Level == Infection.Level.Unknown)
            return $"{level}{since}: {Lacking(scene, planting)}.";
        var reached = risk.FractionReached is { } share
            ? string.Create(CultureInfo.InvariantCulture, $"; {Math.Floor((share * 100) + 1e-9):0} % of the least it asks for is reached")
            : "";
        return $"{level}{since}, by the rule {scene.Site.LevelRule}{reached}"
            + $"{(risk.Uncertain ? $"; uncertain, as {Doubt(scene)}" : "")}.";
    }

    private static string Doubt(ExplainScene scene) =>
        scene.Watch.Doubts.Count > 0 ? "what a sensor says cannot be right, see Missing"
        : scene.Watch.Refusing.Count > 0 ? "what a sensor says is refused, see Missing" : "too much of the weather behind it is unknown";

    /// <summary>The wet spell that runs, and its dry gap.</summary>
    public static string Spell(ExplainScene scene)
    {
        return scene.Watch.RunningSpell is { } spell ? Sentence(scene, spell, "no rain gauge") : "None runs.";
    }

    /// <summary>One wet spell and its dry gap.</summary>
    public static string Sentence(ExplainScene scene, in WetSpell spell, string withoutGauge)
    {
        var temperature = spell is { MeanTempC: { } mean, MinTempC: { } min, MaxTempC: { } max }
            ? $"mean {scene.Units.Temperature(mean)} while wet ({scene.Units.Temperature(min, max)})"
            : "no temperature while wet";
        var rain = spell.NoRainGauge ? withoutGauge : $"{scene.Units.Rain(spell.RainMm)} of rain";
        var gap = scene.Watch.LastInterval!.Value.End - spell.End;
        var dry =
            gap > TimeSpan.Zero
                ? $" Not wet for {ExplainWords.Span(gap)}; it ends after {ExplainWords.Span(scene.Site.Spell.LongestGap)}, "
                    + $"past {scene.Local(spell.End + scene.Site.Spell.LongestGap)}."
                : "";
        var unknown = spell.UnknownHours > 0
            ? $"; of {ExplainWords.Figure(spell.UnknownHours)} h in it nobody knows whether they were wet"
            : "";
        return $"Since {scene.Local(spell.Start)}: {ExplainWords.Figure(spell.WetHours)} wet hours, {rain}, "
            + $"{temperature}{(spell.Uncertain ? "; uncertain" : "")}{unknown}.{dry}";
    }

    /// <summary>One condition with its figure, what is asked, and what is short of it.</summary>
    public static string Condition(RuleCondition condition, UnitSystem units)
    {
        var value = condition.Value is { } figure ? ExplainWords.Value(condition, figure, units) : "not known";
        var missing = condition.Lack is not null ? $", {condition.LackIn(units)} more" : "";
        return $"{condition.What} {value}, asked {condition.Asked}: {(condition.IsMet ? "met" : "not met" + missing)}";
    }

    /// <summary>The windows that are open now, a sentence each.</summary>
    public static IEnumerable<string> Windows(ExplainScene scene, PlantingWatch planting) =>
        planting.Risk.OpenWindows.Select(window =>
            $"Open since {scene.Local(window.OpenedAt)} by {window.Rule}: "
                + $"{window.Level.Word()}{(window.Cover is { } cover ? $"; cover then: {Garden.CoverWords.Word(cover)}" : "")}.");

    /// <summary>What is left of the last protectant.</summary>
    public static string Cover(ExplainScene scene, PlantingWatch planting) =>
        planting.Cover.Last is { } spray
            ? $"{Garden.CoverWords.Word(planting.Cover.Cover)}: {scene.Site.ProductCalled(spray.Product)} of "
                + $"{ExplainWords.Day(spray.On)}, {scene.Units.Rain(planting.Cover.RainMm)} of rain "
                + $"{(planting.Cover.IsMeasured ? "since." : "measured since, but not all of the time: have a look at it.")}"
            : "none: no spray that gives cover is in the journal"
                + $"{(scene.Site.Plantings.Count > 1 ? $" of {planting.Planting.Called}" : "")}.";

    /// <summary>What the running wet spell could do to fruit; <c>null</c> before petal fall.</summary>
    public static string? Fruit(ExplainScene scene, PlantingWatch planting)
    {
        if (!PetalsFallen(planting))
            return null;
        var asked = string.Create(
            CultureInfo.InvariantCulture,
            $"{scene.Units.Rain(FruitInfection.MinRainMm)} of rain and {FruitInfection.MinWetHours:0} wet hours at a mean below "
                + $"{scene.Units.Temperature(FruitInfection.NoneFromC)}");
        return planting.Risk.Spell is not { } spell ? $"No wet spell runs; young fruit takes {asked}."
            : FruitInfection.IsPossible(spell, petalsFallen: true) ? $"This wet spell can infect young fruit, which takes {asked}."
            : $"This wet spell does not suffice for young fruit, which takes {asked}.";
    }

    /// <summary>The windows whose curl has yet to show, a sentence each.</summary>
    public static IEnumerable<string> Incubations(ExplainScene scene, PlantingWatch planting)
    {
        var tooWarm = scene.Units.Temperature(Incubation.TooWarmC);
        return planting.Incubations.Select(one =>
            string.Create(
                CultureInfo.InvariantCulture,
                $"Window of {scene.Local(one.OpenedAt)}: curl likely from {ExplainWords.Day(one.LikelyFrom)} to "
                    + $"{ExplainWords.Day(one.LikelyTo)}, possible from {ExplainWords.Day(one.Possible)} to {ExplainWords.Day(one.Last)}; "
                    + $"{scene.Units.DegreeDays(one.DegreeDays)} so far ({scene.Units.DegreeDaysFigure(Incubation.DegreeDaysFrom)} to "
                    + $"{scene.Units.DegreeDaysFigure(Incubation.DegreeDaysTo)} measured on fruit)."
                    + $"{(one.AwaitsLeaves ? " There is no leaf yet to show it: the days move on until there is." : "")}"
                    + $"{(one.MayNotDevelop ? $" It may not develop: a day's mean came to {tooWarm}." : "")}"));
    }

    /// <summary>The petals are down, by the fixed stage or by the one followed.</summary>
    public static bool PetalsFallen(PlantingWatch planting) =>
        planting.Stage.PetalsFallen;

    private static string Lacking(ExplainScene scene, PlantingWatch planting)
    {
        if (scene.Watch.Doubts.Count > 0)
            return "what a sensor says cannot be right, see Missing";
        if (scene.Watch.Refusing.Count > 0)
            return "what came since was refused, see Missing";
        var (interval, wetness) = (scene.Watch.LastInterval!.Value, scene.Watch.LastWetness!.Value);
        if (planting.Shelter.IsOnWithSensor && interval.ShelterWetCoverage < WetnessJudge.MinLeafWetCoverage)
            return "nothing has come since of the sensor under the rain shelter";
        return (wetness.State == WetnessState.Unknown, interval.TemperatureC is null) switch
        {
            (true, true) => "neither temperature nor anything that tells of wetness has come since",
            (true, false) => "nothing that tells of wetness has come since",
            (false, true) => "no temperature has come since",
            _ when scene.Watch.RainUnknownSince is { } unknown && scene.Watch.LastRefused.TryGetValue(Quantity.Rain, out var old)
                && old.Verdict == QualityVerdict.Late && old.At >= unknown =>
                "what the rain gauge said since is of another day by its own time, see Missing",
            _ when scene.Watch is { RainUnknownSince: not null, HasHeardRain: false } =>
                "leaves have been wet for longer than dew keeps them, and the rain gauge has never said anything",
            _ when scene.Watch.RainUnknownSince is not null =>
                "the rain gauge, which used to speak at even intervals, has said nothing since",
            _ when planting.Risk.Spell is { Uncertain: true } => "too much of the wet spell is unknown to tell whether it can infect",
            _ => "what has come is too little",
        };
    }
}
