using System.CommandLine;
using System.Text;
using BackyardSentinel.Contract;
using BackyardSentinel.Delivery;

namespace BackyardSentinel.Commands.Plan;

/// <summary>The command <c>plan</c>: what to spray in the coming days, when, and when not.</summary>
public static class PlanCommand
{
    /// <summary>Builds the command.</summary>
    /// <param name="time">The clock, asked only where no moment is given.</param>
    public static Command Create(TimeProvider time)
    {
        var garden = CommandRun.Garden();
        var site = new Option<string?>("--site") { HelpName = "ID", Description = "The site; needed where the garden has several" };
        var at = new Option<string?>("--at")
        {
            HelpName = "TIME",
            Description = "Plan from this moment, such as 2027-01-15T08:00:00Z (default: now)",
        };
        var forecast = new Option<string?>("--forecast")
        {
            HelpName = "FILE",
            Description =
                "A file with the forecast, in the program's own form or the one that the garden file describes (default: "
                    + "the last one the service took in)",
        };
        var journal = new Option<string?>("--journal")
        {
            HelpName = "FILE",
            Description = "The journal: a file of entries, or a store (default: the garden's store)",
        };
        var json = new Option<bool>("--json") { Description = "Print one JSON object" };
        var ics = new Option<string?>("--ics")
        {
            HelpName = "FILE",
            Description = "Write slots, deadlines and scouting days as a calendar to this file; - prints it instead of the plan",
        };
        var mix = new Option<string?>("--mix")
        {
            HelpName = "PRODUCT",
            Description = "Work out the tank mix of this product (the label is the law)",
        };
        var volume = new Option<string?>("--volume")
        {
            HelpName = "AMOUNT",
            Description = "How much to mix, such as \"5 L\" or \"1.5 gal\" (default: the plantings' spray_volume)",
        };
        var command = new Command(
            "plan",
            "Plan the dormant sprays of the coming 10 days: slots, deadlines, refusals, copper, tank mix (the label is the law)")
        {
            garden,
            site,
            at,
            forecast,
            journal,
            json,
            ics,
            mix,
            volume,
        };
        command.SetAction(parsed =>
        {
            var output = parsed.InvocationConfiguration.Output;
            var error = parsed.InvocationConfiguration.Error;
            return CommandRun.Guarded(error, () =>
            {
                if (parsed.GetValue(ics) == "-" && parsed.GetValue(json))
                    throw new CommandProblemException("--json and --ics - exclude each other; name a file for the calendar.");
                var wish = new PlanWish(
                    parsed.GetValue(garden)!,
                    parsed.GetValue(site),
                    parsed.GetValue(at),
                    parsed.GetValue(forecast),
                    parsed.GetValue(journal),
                    parsed.GetValue(mix),
                    parsed.GetValue(volume));
                var result = wish.Fulfil(time.GetUtcNow());
                if (parsed.GetValue(ics) is { } calendar and not "-")
                    Save(calendar, PlanCalendar.Write(result, Words(result)));
                if (parsed.GetValue(ics) == "-" || parsed.GetValue(json))
                    output.Write(parsed.GetValue(json) ? PlanJson.Write(result) : PlanCalendar.Write(result, Words(result)));
                else
                    FoldingWriter.For(output).Write(PlanText.Write(result));
                foreach (var finding in result.Findings)
                    error.WriteLine(finding);
                return result.Findings.Count > 0 ? ExitCode.Findings : ExitCode.Done;
            });
        });
        return command;
    }

    private static PageWords Words(PlanResult result) => AlertWords.English(result.Site.Units).Page(result.Site.Zone);

    private static void Save(string path, string calendar)
    {
        WrittenFile.ReplacesItsLike("--ics", path, "BEGIN:VCALENDAR", "calendar");
        try
        {
            File.WriteAllText(path, calendar, new UTF8Encoding(false));
        }
        catch (Exception problem) when (problem is IOException or UnauthorizedAccessException)
        {
            throw new CommandProblemException($"--ics: {path} cannot be written: {problem.Message.TrimEnd('.')}.");
        }
    }
}
