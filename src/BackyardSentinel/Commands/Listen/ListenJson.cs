using System.Text.Json;
using BackyardSentinel.Contract;
using BackyardSentinel.Garden;
using BackyardSentinel.Proposing;

namespace BackyardSentinel.Commands.Listen;

/// <summary>Writes what was heard as one JSON object.</summary>
internal static class ListenJson
{
    public static void Write(ListenResult result, TextWriter output)
    {
        var document = new ListenDocument(
            result.Broker,
            result.Length?.TotalSeconds,
            result.Messages,
            result.Topics,
            result.OwnTopics,
            result.IsCut,
            [
                .. result.Read.Select(one => new SeriesRead(
                    one.Series.SiteId,
                    one.Series.Quantity,
                    one.Series.Topic,
                    one.Series.Path,
                    one.Value,
                    [.. one.Remarks.Select(remark => remark.Text)])),
            ],
            [.. result.Proposed.Select(Series)],
            [.. result.Others.Select(one => new NotProposed(one.Topic, one.Path, one.Last, one.Reason.Text))]);
        output.Write(JsonSerializer.Serialize(document, ContractJson.Printed.ListenDocument) + "\n");
    }

    private static ProposedSeries Series(SeriesProposal one)
    {
        var (heard, guess) = (one.Heard, one.Guess);
        var isNumber = !double.IsNaN(heard.Last);
        return new ProposedSeries(
            guess.Quantity,
            heard.Topic,
            heard.Seen.Path,
            Sensors.MessageShapeWords.Word(heard.Seen.Shape),
            heard.Seen.IsWord ? null : SeriesBlock.UnitWord(guess),
            guess.Scale,
            guess.Quantity == Quantity.Rain ? guess.Rain : null,
            guess.Sureness,
            guess.Because,
            [.. one.Doubts.Select(doubt => doubt.Text)],
            heard.Messages,
            heard.Retained,
            heard.Every?.TotalSeconds,
            isNumber ? heard.Lowest : null,
            isNumber ? heard.Highest : null,
            isNumber ? heard.Last : null,
            one.Gives,
            string.Concat(one.Block.Lines.Select(line => line + "\n")));
    }
}
