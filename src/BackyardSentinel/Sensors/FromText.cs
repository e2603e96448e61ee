using System.Text;
using BackyardSentinel.Wording;

namespace BackyardSentinel.Sensors;

/// <summary>Finds the value of one series in a line of text with several values.</summary>
internal static class FromText
{
    /// <summary>Takes what the message has for the series.</summary>
    /// <param name="one">The series.</param>
    /// <param name="body">The message.</param>
    /// <param name="arrival">When it came.</param>
    /// <param name="result">Where readings and reasons go.</param>
    public static void Take(SensorSeries one, MessageBody body, in Arrival arrival, PayloadResult result)
    {
        if (body.Pieces(one.Map.DecimalComma) is not { } pieces)
            return;
        if ((pieces.Find(one.Map.Path!) is { } text ? Encoding.UTF8.GetBytes(text) : one.LeftOut) is not { } value)
        {
            one.TellMissed(result, pieces.Said);
            return;
        }

        one.Found();
        one.Take(result, one.Number(value, out var unit), unit, TimeOf(one, pieces, arrival), arrival);
    }

    private static OwnTime TimeOf(SensorSeries one, TextPieces pieces, in Arrival arrival) =>
        one.Map.TimePath is not { } path ? OwnTime.None
        : pieces.Find(path) is not { } text ? new OwnTime(null, $"no time at path {new Name(path)}")
        : TimeReader.TryRead(text, one.Clock.Local(arrival), out var time, out var reason) ? new OwnTime(time, null)
        : new OwnTime(null, reason);
}
