using System.CommandLine;
using System.Globalization;
using System.Text.Json;
using BackyardSentinel.Configuration;
using BackyardSentinel.Configuration.Reading;
using BackyardSentinel.Configuration.Yaml;
using BackyardSentinel.Contract;
using BackyardSentinel.Web.SetUp;

namespace BackyardSentinel.Commands.Examine;

/// <summary>
/// The command <c>examine</c>: looks the installation over, beside the service, and says of each thing how it is and what to do.
/// </summary>
public static class ExamineCommand
{
    private static readonly TimeSpan Usual = TimeSpan.FromSeconds(5), Longest = TimeSpan.FromHours(1);

    /// <summary>Builds the command.</summary>
    /// <param name="time">The clock.</param>
    public static Command Create(TimeProvider time)
    {
        var garden = CommandRun.Garden();
        var length = new Option<TimeSpan>("--for")
        {
            HelpName = "TIME",
            Description = "How long to listen to the broker: 1s to 1h, default 5s",
            DefaultValueFactory = _ => Usual,
            CustomParser = result =>
            {
                if (DurationText.Parse(result.Tokens[0].Value) is { } span && span >= TimeSpan.FromSeconds(1) && span <= Longest)
                    return span;
                result.AddError($"--for: \"{result.Tokens[0].Value}\" is not a time from 1s to 1h, such as 30s or 10m.");
                return Usual;
            },
        };
        var json = new Option<bool>("--json") { Description = "Print one JSON object" };
        var command = new Command(
            "examine", "Look the installation over: clock, disk, store, broker, sensors, the way to the phone") { garden, length, json };
        command.SetAction(async (parsed, ct) =>
        {
            var (output, error) = (parsed.InvocationConfiguration.Output, parsed.InvocationConfiguration.Error);
            return await CommandRun.GuardedAsync(error, async () =>
            {
                var path = parsed.GetValue(garden)!;
                var (file, problems) = GardenFileReader.Read(path);
                if (file is null)
                    return await WithoutGardenAsync(problems, parsed.GetValue(json), time.GetUtcNow(), output, error).ConfigureAwait(false);
                await error.WriteLineAsync(
                    $"Looking, "
                        + $"and listening to the broker for "
                        + $"{parsed.GetValue(length).TotalSeconds.ToString(CultureInfo.InvariantCulture)} s.").ConfigureAwait(false);
                var (now, found) = await Examination.OfAsync(path, file, problems, parsed.GetValue(length), time, ct).ConfigureAwait(false);
                var worst = found.Max(one => one.Result == Finding.Unknown ? Finding.Fine : one.Result);
                if (parsed.GetValue(json))
                    await output.WriteAsync(
                        JsonSerializer.Serialize(
                            new ExamineDocument(now, worst, [.. found.Select(Examined)]), ContractJson.Printed.ExamineDocument)
                            + "\n").ConfigureAwait(false);
                else
                    Write(found, FoldingWriter.For(output));
                return worst switch
                {
                    Finding.Wrong => ExitCode.BadInput,
                    Finding.Look => ExitCode.Findings,
                    _ => ExitCode.Done,
                };
            }).ConfigureAwait(false);
        });
        return command;
    }

    /// <summary>Without a garden file there is nothing else to look at; it is told as <c>check</c> tells it.</summary>
    private static async Task<int> WithoutGardenAsync(
        IReadOnlyList<Problem> problems, bool json, DateTimeOffset now, TextWriter output, TextWriter error)
    {
        ProblemRenderer.Write(problems, error);
        ExaminedThing found = new(
            "garden file",
            Finding.Wrong,
            $"The garden file cannot be used: {problems.First(problem => !problem.IsNote).Message.Ended()}",
            "Mend it; check tells everything that is wrong with it. All else is looked at by what it says.");
        if (json)
            await output.WriteAsync(
                JsonSerializer.Serialize(new ExamineDocument(now, Finding.Wrong, [found]), ContractJson.Printed.ExamineDocument)
                    + "\n").ConfigureAwait(false);
        return ExitCode.BadInput;
    }

    /// <summary>A line each, with the result as a word, so that it needs no colour; what to do stands below.</summary>
    private static void Write(IReadOnlyList<FoundThing> found, TextWriter output)
    {
        foreach (var one in found)
        {
            output.Write($"{Word(one.Result),-8}{one.Check.Text,-16}  {one.Says}\n");
            if (one.Remedy is not null)
                output.Write($"{"",-24}  > {one.Remedy}\n");
        }

        output.Write(string.Create(
            CultureInfo.InvariantCulture,
            $"{found.Count} checks: {Number(Finding.Wrong)} wrong, {Number(Finding.Look)} to look at, "
                + $"{Number(Finding.Unknown)} unknown, {Number(Finding.Fine)} fine\n"));
        output.Flush();

        int Number(Finding result) => found.Count(one => one.Result == result);
    }

    private static ExaminedThing Examined(FoundThing one) => new(one.Check.Text, one.Result, one.Says.Text, one.Remedy?.Text);

    private static string Word(Finding result) => result switch
    {
        Finding.Fine => "fine",
        Finding.Unknown => "unknown",
        Finding.Look => "look",
        Finding.Wrong => "wrong",
    };
}
