using BackyardSentinel.Configuration;
using BackyardSentinel.Delivery;
using BackyardSentinel.Hosting;

namespace BackyardSentinel.Commands.Alerts;

/// <summary>Shows each kind of alert in the garden's own words and names, told of invented news. Nothing is sent.</summary>
internal static class AlertExamples
{
    /// <summary>Prints them under the headings of the file of words.</summary>
    /// <param name="garden">The garden; its first site, planting, sensor and product lend their names.</param>
    /// <param name="now">The time of the test message.</param>
    /// <param name="output">Where to.</param>
    public static int Run(GardenFile garden, DateTimeOffset now, TextWriter output)
    {
        var (words, names, site) = (AlertWiring.WordsOf(garden), AlertWiring.NamesOf(garden), garden.Sites[0]);
        var alerts = ExampleAlerts.OfEveryKind(
            site.Id,
            site.Plantings is [var planting, ..] ? planting.Id : "white-peach",
            garden.SeriesOf(site.Id).FirstOrDefault()?.Name ?? "air-temperature",
            garden.Products is [var product, ..] ? product.Name : "copper");
        foreach (var alert in alerts)
            Write(alert.Kind, words.Say(alert, _ => site.Zone, names));
        Write("test", words.Test(garden.Name, now, site.Zone));
        foreach (var says in words.Gaps?.Says ?? [])
            output.Write($"{says}.\n");
        output.Write("These are examples of every kind; none of it has happened, and nothing was sent.\n");
        return ExitCode.Done;

        void Write(string kind, AlertText text) => output.Write($"--- {kind}\n{text.Title}\n{text.Body}\n\n");
    }
}
