using System.Text;
using BackyardSentinel.Units;
using BackyardSentinel.Wording;

namespace BackyardSentinel.Sensors;

/// <summary>Finds the values of one series in a SenML pack: the records of its name, with their own times and units.</summary>
internal static class FromSenml
{
    /// <summary>Takes what the message has for the series.</summary>
    /// <param name="one">The series.</param>
    /// <param name="body">The message.</param>
    /// <param name="arrival">When it came.</param>
    /// <param name="result">Where readings and reasons go.</param>
    public static void Take(SensorSeries one, MessageBody body, in Arrival arrival, PayloadResult result)
    {
        if (body.Records(arrival.At) is not { } records)
            return;
        List<(NumberResult Number, Unit? Unit, OwnTime Time)> points = [], foreign = [];
        foreach (var record in records)
        {
            if (record.Name != one.Map.Path || NumberOf(one, record, out var unit, out var isForeign) is not { } number)
                continue;
            (isForeign ? foreign : points).Add((number, unit, TimeOf(record, arrival)));
        }

        // One name may stand for a place and what is measured there, told apart by units only (RFC 8428, 5.1.3).
        if (points.Count == 0)
            points = foreign;

        if (points.Count > 0)
        {
            one.TakeAll(result, points, arrival);
            return;
        }

        var names = records.Select(record => record.Name).Where(name => name.Length > 0).Distinct().Take(12).ToList();
        one.TellMissed(result, names.Count == 0 ? $"no record with a name" : Sentence.Names(names));
    }

    private static NumberResult? NumberOf(SensorSeries one, in SenmlRecord record, out Unit? unit, out bool isForeign)
    {
        (unit, isForeign) = (null, false);
        if (record.Word is { } word)
            return one.Number(Encoding.UTF8.GetBytes(word), out unit);
        if ((record.Value ?? (one.Map.RainIsTotal ? record.Sum : null)) is not { } value)
            return null;
        if (record.Unit.Length == 0)
            return NumberResult.Of(value);
        unit = one.Units.Of(record.Unit, out var reason);
        isForeign = reason is not null;
        return isForeign ? NumberResult.Refuse(reason!) : NumberResult.Of(value);
    }

    private static OwnTime TimeOf(in SenmlRecord record, in Arrival arrival)
    {
        if (record.Time is not { } time)
            return new OwnTime(null, $"the time is out of range");
        // Seconds from now mean nothing in a copy that the broker has kept for who knows how long.
        var isNow = record.IsRelative && (arrival.Retained || time.ToUnixTimeMilliseconds() == arrival.At.ToUnixTimeMilliseconds());
        return isNow ? OwnTime.None : new OwnTime(time, null);
    }
}
