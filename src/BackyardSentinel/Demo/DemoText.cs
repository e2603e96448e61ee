using System.Globalization;
using BackyardSentinel.Hosting;
using BackyardSentinel.Infection;

namespace BackyardSentinel.Demo;

/// <summary>What the demo says before and after its story.</summary>
public static class DemoText
{
    /// <summary>Says what is about to be seen.</summary>
    public static void Begin(TextWriter output, int port, TimeSpan fastTime)
    {
        var levels = new[] { Level.Clear, Level.Building, Level.Possible, Level.Likely, Level.Severe, Level.Unknown };
        output.WriteLine(string.Create(CultureInfo.InvariantCulture, $"""
            An invented garden, {DemoWeather.Begin:d MMMM yyyy} to {DemoWeather.End:d MMMM yyyy}, in about {fastTime.TotalSeconds:0} seconds. Times are UTC.
            A sensor hub publishes temperature, humidity, leaf wetness and rain every ten minutes of garden time.
            Leaf curl infects an opening peach in cool, wet spells: 3 mm of rain, 12.5 wet hours, mean below 16 °C.

            Levels: {string.Join("  ", levels.Select(level => $"{level.Bar()} {level.Word()}"))}

            To watch the messages, in another terminal:
                mosquitto_sub -V 5 -i viewer -p {port} -v -t 'sentinel/#' -t '{DemoGarden.HubTopic}'
            Ctrl-C ends the demo.
            """));
    }

    /// <summary>Sums the story up.</summary>
    public static void End(TextWriter output, Narrator narrator, int port) => output.WriteLine(string.Create(CultureInfo.InvariantCulture, $"""

        The season is over: {narrator.Spells} wet spells, {narrator.Windows} infection windows. The other spells were too short, too dry or too warm.
        After each window a grower would look for curl some three weeks later; a spray now would come too late for it.
        From here the garden goes on in real time, a report each minute, on port {port}. Ctrl-C ends the demo.
        """));
}
