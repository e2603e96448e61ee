using System.Text;
using BackyardSentinel.Delivery;
using BackyardSentinel.Logs;
using BackyardSentinel.Web;
using BackyardSentinel.Web.Drawing;

namespace BackyardSentinel.Commands.Tune;

/// <summary>Writes the drawing of the trade-off to a file of its own, in the page's own style.</summary>
internal static class TuneDrawing
{
    /// <summary>Writes it.</summary>
    /// <exception cref="LogProblemException">The file cannot be written.</exception>
    public static void Write(TuneResult result, string file)
    {
        WrittenFile.ReplacesItsLike("--drawing", file, "<svg", "drawing");
        var answer = result.Answer;
        var drawing = TradeOff.Draw(
            $"{result.Site.Id}, {result.Choice.Rule}: what the limits tried can come to",
            answer.TradeOff.Select(pair => (pair.Counts.Far!.Value, pair.Counts.Pod!.Value)),
            [
                (TradeOff.Mark.Now, Of(answer.Now)),
                (TradeOff.Mark.Found, Of(answer.Best)),
                (TradeOff.Mark.LeftOut, Of(answer.LeftOut)),
            ],
            AlertWords.English(result.Site.Units).Page(result.Site.Zone));
        try
        {
            File.WriteAllText(file, TradeOff.Standalone(drawing, Encoding.UTF8.GetString(PageFiles.Read("style.css"))));
        }
        catch (Exception problem) when (problem is IOException or UnauthorizedAccessException)
        {
            throw new LogProblemException($"--drawing: {file} cannot be written: {problem.Message}");
        }

        static (double, double)? Of(Tuning.LimitScore score) =>
            score.Counts is { Far: { } far, Pod: { } pod } ? (far, pod) : null;
    }
}
