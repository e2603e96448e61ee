using System.Globalization;
using BackyardSentinel.Garden;
using BackyardSentinel.Proposing;
using BackyardSentinel.Storage;
using BackyardSentinel.Weather;

namespace BackyardSentinel.Commands.Listen;

/// <summary>Writes what was heard as part of a garden file: blocks for below <c>series</c>, and all else as comments.</summary>
internal static class ListenText
{
    private const int MostOthers = 40;

    public static void Write(ListenResult result, TextWriter output)
    {
        if (result.Broker is not null)
            Comment(
                output,
                $"{result.Broker}, heard for {Span(result.Length!.Value)}: "
                    + $"{Count(result.Messages, "message")} on {Count(result.Topics, "topic")}"
                    + $"{(result.OwnTopics > 0 ? $"; {Count(result.OwnTopics, "topic")} of our own left out" : "")}");
        if (result.IsCut)
            Comment(
                output,
                "More came than is told here, and a sensor of yours may be missing: listen to part of it, such as --topic 'garden/#'.");
        if (result.Messages == 0)
        {
            Comment(output, result.OwnTopics > 0
                ? "Nothing came but what the program itself publishes."
                : "Nothing came. Sensors that sleep need a longer --for; a broker with an access list may need --topic.");
            return;
        }

        foreach (var read in result.Read)
            WriteRead(read, output);
        if (result.Proposed.Count > 0)
            Comment(output, "For below 'series' of a site:");
        foreach (var one in result.Proposed)
            WriteProposed(one, output);
        WriteOthers(result, output);
    }

    /// <summary>A time in words: <c>60 s</c>, <c>10 min</c>.</summary>
    public static string Span(TimeSpan span) => span.TotalSeconds switch
    {
        < 1 => "less than 1 s",
        < 120 => string.Create(CultureInfo.InvariantCulture, $"{span.TotalSeconds:0} s"),
        < 7200 => string.Create(CultureInfo.InvariantCulture, $"{span.TotalMinutes:0} min"),
        _ => string.Create(CultureInfo.InvariantCulture, $"{span.TotalHours:0.#} h"),
    };

    private static void WriteRead(ReadAlready read, TextWriter output)
    {
        Comment(
            output,
            $"{Where(read.Series.Topic, read.Series.Path)}: read already, by {read.Series.SiteId}: "
                + $"{read.Series.Quantity.Name()} {(read.Value is { } value ? Figure(value) : "none")}");
        foreach (var remark in read.Remarks)
            Comment(output, $"    {remark}");
    }

    private static void WriteProposed(SeriesProposal one, TextWriter output)
    {
        var (heard, guess) = (one.Heard, one.Guess);
        var unit = heard.Seen.IsWord ? "" : $" in {SeriesBlock.UnitWord(guess)}";
        output.Write('\n');
        Comment(
            output,
            $"{guess.Sureness.Word()}: "
                + $"{guess.Quantity.Name()}{unit}{(guess.Because.Count > 0 ? "; " + string.Join(", and ", guess.Because) : "")}");
        Comment(output, $"{Heard(heard)}; gives {one.GivesInWords}");
        foreach (var doubt in one.Doubts)
            Comment(output, $"? {doubt}");
        foreach (var line in one.Block.Lines)
            output.Write($"{line}\n");
    }

    private static void WriteOthers(ListenResult result, TextWriter output)
    {
        if (result.Others.Count == 0)
            return;
        output.Write('\n');
        Comment(output, "Not proposed:");
        foreach (var other in result.Others.Take(MostOthers))
            Comment(output, $"{Where(other.Topic, other.Path)}{(other.Last is { } last ? " " + Figure(last) : "")}: {other.Reason}");
        if (result.Others.Count > MostOthers)
            Comment(output, $"… and {result.Others.Count - MostOthers} more; --json has them all");
    }

    private static string Heard(HeardSeries heard)
    {
        var how = heard.Retained == 0 ? "live"
            : heard.Retained == heard.Messages ? "the broker's kept copy"
            : "live, after the broker's kept copy";
        var often = heard.Every is { } every ? $", about every {Span(every)}" : "";
        var seen = heard.Seen.IsWord ? heard.Last > 0 ? "a word for wet" : "a word for dry"
            : double.IsNaN(heard.Last) ? "no number but those that mean none"
            : heard.Lowest == heard.Highest ? Figure(heard.Last)
            : $"{Figure(heard.Lowest)} to {Figure(heard.Highest)}, last {Figure(heard.Last)}";
        return $"{Count(heard.Messages, "message")}, {how}{often}; sent {seen}";
    }

    /// <summary>Where a value comes.</summary>
    public static string Where(string topic, string? path) => path is null ? topic : $"{topic} {path}";

    /// <summary>A number as it was sent.</summary>
    public static string Figure(double value) =>
        value.ToString(Math.Abs(value) >= 1e7 ? "0.###e+0" : "0.####", CultureInfo.InvariantCulture);

    private static string Count(int number, string one) =>
        string.Create(CultureInfo.InvariantCulture, $"{number} {one}{(number == 1 ? "" : "s")}");

    private static void Comment(TextWriter output, string text) => output.Write($"# {TerminalText.Plain(text)}\n");
}
