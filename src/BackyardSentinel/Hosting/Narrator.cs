using System.Globalization;
using BackyardSentinel.Contract;
using BackyardSentinel.Delivery;
using BackyardSentinel.Events;
using BackyardSentinel.Garden;
using BackyardSentinel.Infection;
using BackyardSentinel.Phenology;
using BackyardSentinel.Units;
using BackyardSentinel.Weather;

namespace BackyardSentinel.Hosting;

/// <summary>Tells on the terminal what happens, a line for each event worth one.</summary>
/// <param name="output">The terminal.</param>
/// <param name="sends">Messages go out to somebody; otherwise they are only shown here.</param>
public sealed class Narrator(TextWriter output, bool sends = false)
{
    private DateOnly _month;

    /// <summary>Wet spells told so far.</summary>
    public int Spells { get; private set; }

    /// <summary>Windows of the driving rule told so far.</summary>
    public int Windows { get; private set; }

    /// <summary>Messages told so far.</summary>
    public int Messages { get; private set; }

    /// <summary>Tells one event.</summary>
    public void Tell(string siteId, SiteWatch watch, SentinelEvent fact)
    {
        var at = TimeZoneInfo.ConvertTime(fact.At, watch.Site.Zone);
        switch (fact)
        {
            case LevelChanged change:
                Line(at, $"{change.To.Bar()} {change.To.Word(),-8} {watch.Site.Called(change.Planting)}: {Reason(change, watch)}");
                break;
            case InfectionWindowOpened { Window.Sheltered: true } kept when kept.Window.Rule == watch.Site.LevelRule:
                Line(
                    at,
                    $"  {watch.Site.Called(kept.Window.Planting)}: under the open sky an infection window would "
                        + "open; the rain shelter keeps it off");
                break;
            case InfectionWindowOpened { Window.Sheltered: true }:
                break;
            case InfectionWindowOpened opened when opened.Window.Rule != watch.Site.LevelRule:
                Line(
                    at,
                    $"  second opinion: the rule {opened.Window.Rule} calls this {opened.Window.Level.Word()} on "
                        + $"{watch.Site.Called(opened.Window.Planting)}");
                break;
            case InfectionWindowOpened opened:
                Windows++;
                if (opened.Window.Cover is { } cover)
                    Line(
                        at,
                        $"  {watch.Site.Called(opened.Window.Planting)}: "
                            + (cover == Cover.None ? "no spray cover on the tree" : $"spray cover on the tree: {cover.Word()}"));
                break;
            case BudsChanged { To: BudState.MayBeOpen } buds:
                Line(at, $"  {watch.Site.Called(buds.Planting)}: the leaf buds may be open; look at them");
                break;
            case BudStageReached { Code: < 50 or >= 60 } stage:
                Line(
                    at,
                    string.Create(
                        CultureInfo.InvariantCulture,
                        $"  {watch.Site.Called(stage.Planting)}: {BudStage.From(stage.Code).Meaning} (BBCH {stage.Code:00}, "
                            + $"{(stage.Logged ? "seen by the grower" : "computed")})"));
                break;
            case CoverChanged changed:
                Line(
                    at,
                    string.Create(
                        CultureInfo.InvariantCulture,
                        $"  {watch.Site.Called(changed.Planting)}: {watch.Site.Units.Rain(Math.Round(changed.RainMm))} of rain since the "
                            + $"spray of {changed.SprayedOn:d MMMM}; "
                            + $"its spray cover is {(changed.Cover == Cover.Spent ? "spent" : "due for a look")}"));
                break;
            case ScoutingFellDue due:
                Line(
                    at,
                    string.Create(
                        CultureInfo.InvariantCulture,
                        $"  {watch.Site.Called(due.Planting)}: time to look at 20 shoots; curl of an earlier window "
                            + $"{(due.Likely ? "is likely now, until" : $"may show from now on, most likely {due.LikelyFrom:d MMMM} to")} "
                            + $"{due.LikelyTo:d MMMM}"));
                break;
            case PickingFellDue picking:
                Line(
                    at,
                    $"  {watch.Site.Called(picking.Planting)}: curl on {picking.Curled} of {picking.Shoots} shoots; picking helps now, "
                        + "if at all, before the leaves turn white");
                break;
            case InfectionSeasonClosed closed:
                Line(at, $"  {watch.Site.Called(closed.Planting)}: no more infection this season, {closed.Because}");
                break;
            case ReadingsDoubted doubted:
                Line(at, $"  {doubted.Doubt.Seen(watch.Site.Units)}; it is not used: {doubted.Doubt.Remedy}");
                break;
            case ReadingsTrusted trusted:
                Line(at, $"  {trusted.Doubt.Quantity.Name()} can be right again and is used");
                break;
            case WetSpellStarted:
                Spells++;
                break;
            case WetSpellEnded ended:
                var shortfall = IsNow(fact, watch) ? Shortfall(ended.Spell, watch) : "";
                Line(at, $"  the wet spell is over: {Sums(ended.Spell, watch.Site.Units)}{shortfall}");
                break;
            default:
                break; // A window's closing is told by the spell's end.
        }
    }

    /// <summary>Tells a message.</summary>
    public void Tell(AlertMessage message, TimeZoneInfo zone)
    {
        Messages++;
        Line(TimeZoneInfo.ConvertTime(message.At, zone), $"    {(sends ? "to the phone" : "message")}: \"{message.Title}\"");
    }

    private static string Reason(LevelChanged change, SiteWatch watch)
    {
        // Told when the season was judged further already, as after a catch-up, how things are now is not how they were then.
        if (!IsNow(change, watch))
            return change.To switch
            {
                Level.Unknown => "too little was known of the weather; that is not an all-clear",
                Level.Building => "a wet spell had started",
                Level.Possible when change.From < Level.Possible => "an infection window opened",
                Level.Possible or Level.Likely or Level.Severe => "the window deepened",
                _ => "nothing was building any more",
            };
        var risk = watch.Plantings.First(one => one.Planting.Id == change.Planting).Risk;
        var spell = risk.Spell is { } running ? $": {Sums(running, watch.Site.Units)}" : "";
        return change.To switch
        {
            Level.Unknown => Unknown(change, risk, watch),
            Level.Building => change.From == Level.Unknown ? $"enough is known again: a wet spell runs{spell}"
            : risk.Sheltered ? "the sensor under the rain shelter has turned wet"
            : "rain has started a wet spell",
            Level.Possible when change.From < Level.Possible => $"an infection window opens{spell}",
            Level.Possible or Level.Likely or Level.Severe => $"the window deepens{spell}",
            _ when change.From == Level.Unknown => "enough is known again, and nothing is building",
            // Rain may still wet the tree when what is on it can no longer be infected: the grower saw the buds shut.
            _ when risk is { Susceptibility: 0, Spell: not null } => "nothing on the tree can be infected now",
            _ => "dry again",
        };
    }

    private static bool IsNow(SentinelEvent fact, SiteWatch watch) => !(fact.At < watch.LastInterval?.End);

    private static string Unknown(LevelChanged change, PlantingRisk risk, SiteWatch watch)
    {
        if (watch.Doubts.Count > 0)
            return $"{watch.Doubts[0].Seen(watch.Site.Units)}, so it is not used: {watch.Doubts[0].Remedy}";
        if (change.Since == change.At && risk.Spell is { Uncertain: true } spell)
            return $"{HolesIn(spell)}; that is not an all-clear";
        var since = TimeZoneInfo.ConvertTime(change.Since, watch.Site.Zone).ToString("HH:mm", CultureInfo.InvariantCulture);
        // A word came and was refused: then it is not the sensors that are silent.
        return
            watch.LastRefused.Values.Where(refused => refused.At > change.Since).Select(refused => (RefusedReading?)refused).LastOrDefault()
                is { } last
            ? $"what the sensors say since {since} is refused: "
                + $"{last.Reading.Quantity.Name()} "
                + $"{watch.Site.Units.Said(last.Reading.Quantity, last.Reading.Value)} {last.Why(watch.Site.Units)}"
            : $"the sensors have told too little since {since}; silence is not an all-clear";
    }

    /// <summary>What is not known of a spell that may infect or not.</summary>
    private static string HolesIn(in WetSpell spell) => string.Create(
        CultureInfo.InvariantCulture,
        $"too much of this wet spell is unknown to tell whether it can infect: {spell.WetHours:0.0} wet hours are known"
            + $"{(spell.UnknownHours > 0 ? $", {spell.UnknownHours:0.0} are not" : "")}"
            + $"{(spell.MeanTempC is null ? ", no temperature" : "")}");

    /// <summary>Why a spell was not enough for the driving rule; empty when it was. All plantings stand under one sky.</summary>
    private static string Shortfall(in WetSpell spell, SiteWatch watch) =>
        watch.Plantings is [var any, ..] && any.UnderOpenSky.Shortfall(spell, watch.Site.Units) is { } why ? $"; {why}" : "";

    private static string Sums(in WetSpell spell, UnitSystem units) =>
        string.Create(
            CultureInfo.InvariantCulture,
            $"{spell.WetHours:0.0} wet hours{(spell.NoRainGauge ? "" : $", {units.Rain(spell.RainMm)}")}"
                + $"{(spell.MeanTempC is { } mean ? $", mean {units.Temperature(mean)}" : "")}");

    private void Line(DateTimeOffset at, string text)
    {
        var thisMonth = new DateOnly(at.Year, at.Month, 1);
        if (thisMonth != _month)
            output.WriteLine($"\n{at.ToString("MMMM yyyy", CultureInfo.InvariantCulture)}");
        _month = thisMonth;
        output.WriteLine($"  {at.ToString("dd HH:mm", CultureInfo.InvariantCulture)}  {text}");
    }
}
