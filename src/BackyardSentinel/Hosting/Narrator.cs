using System.Globalization;
using BackyardSentinel.Events;
using BackyardSentinel.Infection;

namespace BackyardSentinel.Hosting;

/// <summary>Tells on the terminal what happens, a line for each event worth one.</summary>
public sealed class Narrator(TextWriter output)
{
    private DateOnly month;

    /// <summary>Wet spells told so far.</summary>
    public int Spells { get; private set; }

    /// <summary>Windows of the driving rule told so far.</summary>
    public int Windows { get; private set; }

    /// <summary>Tells one event.</summary>
    public void Tell(string siteId, SiteWatch watch, SentinelEvent fact)
    {
        var at = TimeZoneInfo.ConvertTime(fact.At, watch.Site.Zone);
        switch (fact)
        {
            case LevelChanged change:
                Line(at, $"{change.To.Bar()} {change.To.Word(),-8} {change.Planting}: {Reason(change, watch)}");
                break;
            case InfectionWindowOpened opened when opened.Window.Rule != watch.Site.AlertRule:
                Line(at, $"  second opinion: the rule {opened.Window.Rule} calls this {opened.Window.Level.Word()} on {opened.Window.Planting}");
                break;
            case InfectionWindowOpened:
                Windows++;
                break;
            case WetSpellStarted:
                Spells++;
                break;
            case WetSpellEnded ended:
                Line(at, $"  the wet spell is over: {Sums(ended.Spell)}{Shortfall(ended.Spell)}");
                break;
            default:
                break; // A window's closing is told by the spell's end.
        }
    }

    private static string Reason(LevelChanged change, SiteWatch watch)
    {
        var spell = watch.RunningSpell is { } running ? Sums(running) : "";
        return change.To switch
        {
            Level.Unknown => $"no word from the sensors since {TimeZoneInfo.ConvertTime(change.Since, watch.Site.Zone).ToString("HH:mm", CultureInfo.InvariantCulture)}; silence is not an all-clear",
            Level.Building => change.From == Level.Unknown ? $"the sensors are back in a wet spell: {spell}" : "rain has started a wet spell",
            Level.Possible when change.From < Level.Possible => $"an infection window opens: {spell}",
            Level.Possible or Level.Likely or Level.Severe => $"the window deepens: {spell}",
            _ => change.From == Level.Unknown ? "the sensors are back" : "dry again",
        };
    }

    /// <summary>Why a spell opened no window by the rule <c>wet-hours</c>; empty when it could.</summary>
    private static string Shortfall(in WetSpell spell) => spell switch
    {
        { WetHours: < WetHoursRule.MinWetHours } => "; too short to infect",
        { NoRainGauge: false, RainMm: < WetHoursRule.MinRainMm } => "; too little rain to infect",
        { MeanTempC: >= WetHoursRule.MaxMeanTempC } => "; too warm to infect",
        _ => "",
    };

    private static string Sums(in WetSpell spell) => string.Create(
        CultureInfo.InvariantCulture, $"{spell.WetHours:0.0} wet hours, {spell.RainMm:0.0} mm, mean {spell.MeanTempC:0.0} °C");

    private void Line(DateTimeOffset at, string text)
    {
        var thisMonth = new DateOnly(at.Year, at.Month, 1);
        if (thisMonth != month)
            output.WriteLine($"\n{at.ToString("MMMM yyyy", CultureInfo.InvariantCulture)}");
        month = thisMonth;
        output.WriteLine($"  {at.ToString("dd HH:mm", CultureInfo.InvariantCulture)}  {text}");
    }
}
