using System.Text.Json;
using BackyardSentinel.Units;
using BackyardSentinel.Wording;

namespace BackyardSentinel.Sensors;

/// <summary>Finds the values of one series in a bare number or in JSON: one, or each entry of a list.</summary>
internal static class FromJson
{
    /// <summary>Takes what the message has for the series.</summary>
    /// <param name="one">The series.</param>
    /// <param name="body">The message.</param>
    /// <param name="mayNameUnit">A unit may stand beside the number.</param>
    /// <param name="arrival">When it came.</param>
    /// <param name="result">Where readings and reasons go.</param>
    public static void Take(SensorSeries one, MessageBody body, bool mayNameUnit, in Arrival arrival, PayloadResult result)
    {
        if (one.Path is not { } path)
        {
            var bare = body.Bytes.Trim(" \t\r\n\0"u8);
            var number = one.Number(bare is [(byte)'"', .., (byte)'"'] ? bare[1..^1] : bare, out var unit);
            one.Take(result, number, unit, OwnTime.None, arrival);
            return;
        }

        if (body.Json is not { } root)
            return;
        if (one.Battery?.Find(root) is { } battery && BatteryOf(battery) is { } level)
            result.Batteries.Add((one.Map, level));
        mayNameUnit |= one.Units.HasPath;
        if (path.HasEach)
            TakeEach(one, body, root, mayNameUnit, arrival, result);
        else if (path.Find(root) is { } value)
        {
            one.Found();
            var number = NumberOf(one, value, mayNameUnit ? one.Units.In(root, root) : null, out var unit);
            one.Take(result, number, unit, TimeIn(one, body, root, arrival), arrival);
        }
        else if (one.LeftOut is { } leftOut && path.HasHolder(root) && one.TimePath?.Find(root) is not null == one.TimePath is not null)
            one.Take(result, one.Number(leftOut, out var unit, isJson: true), unit, TimeIn(one, body, root, arrival), arrival);
        else
            TellMissed(one, root, result);
    }

    /// <summary>What is neither a number nor a switch tells nothing of a battery; the reading beside it counts all the same.</summary>
    private static double? BatteryOf(JsonElement value) => value.ValueKind switch
    {
        JsonValueKind.True => 1,
        JsonValueKind.False => 0,
        _ => JsonNumber.Read(value, decimalComma: false) is { Outcome: NumberOutcome.Number, Value: var level } ? level : null,
    };

    private static void TakeEach(
        SensorSeries one, MessageBody body, JsonElement root, bool mayNameUnit, in Arrival arrival, PayloadResult result)
    {
        if (one.Path!.FindList(root) is not { } list)
        {
            TellMissed(one, root, result);
            return;
        }

        var (name, count) = (one.Map.Name, list.GetArrayLength());
        var eachTime = one.TimePath is { HasEach: true } path ? path : null;
        var times = eachTime?.FindList(root);
        if (count == 0)
            result.Say(RemarkKind.NoReading, name, $"the list at path {new Name(one.Path.Text)} is empty");
        else if (count > MessageBody.MostPoints)
            result.Say(RemarkKind.Refused, name, $"{count} values are more than the {MessageBody.MostPoints} that are read of one message");
        else if (count > 1 && eachTime is null)
            result.Say(
                RemarkKind.Refused,
                name,
                $"{count} values come in one message without a time for each: 'time' has to say where it is, with [*]");
        else if (eachTime is not null && times?.GetArrayLength() != count)
            result.Say(RemarkKind.Refused, name, $"the message has {count} values, and times of {(times?.GetArrayLength() ?? 0)}");
        else if (PointsOf(one, body, root, list, times, mayNameUnit, arrival) is { Count: > 0 } points)
            one.TakeAll(result, points, arrival);
        else
            TellMissed(one, root, result);
    }

    private static List<(NumberResult Number, Unit? Unit, OwnTime Time)> PointsOf(
        SensorSeries one,
        MessageBody body,
        JsonElement root,
        JsonElement list,
        JsonElement? times,
        bool mayNameUnit,
        in Arrival arrival)
    {
        List<(NumberResult Number, Unit? Unit, OwnTime Time)> points = new(list.GetArrayLength());
        var stamps = times?.EnumerateArray() ?? default;
        foreach (var entry in list.EnumerateArray())
        {
            var time = times is not null && stamps.MoveNext()
                ? TimeOf(one, one.TimePath!.FindWithin(stamps.Current), arrival)
                : TimeIn(one, body, root, arrival);
            if (one.Path!.FindWithin(entry) is { } value)
                points.Add((NumberOf(one, value, mayNameUnit ? one.Units.In(root, entry) : null, out var unit), unit, time));
            else if (one.LeftOut is { } leftOut && one.Path.HasHolder(entry))
                points.Add((one.Number(leftOut, out var none, isJson: true), none, time));
        }

        return points;
    }

    private static NumberResult NumberOf(SensorSeries one, JsonElement value, string? named, out Unit? unit)
    {
        unit = null;
        if (value.ValueKind is JsonValueKind.Null or JsonValueKind.Array or JsonValueKind.Object)
            return JsonNumber.NoNumber(value);
        var number = one.Number(JsonNumber.TextOf(value), out unit, isJson: value.ValueKind == JsonValueKind.Number);
        if (number.Outcome != NumberOutcome.Number)
            return value.ValueKind is JsonValueKind.True or JsonValueKind.False ? JsonNumber.NoNumber(value) : number;
        if (named is null || unit is not null)
            return number;
        unit = one.Units.Of(named, out var reason);
        return reason is null ? number : NumberResult.Refuse(reason);
    }

    private static OwnTime TimeIn(SensorSeries one, MessageBody body, JsonElement root, in Arrival arrival)
    {
        if (one.TimePath is null)
            return OwnTime.None;
        if (body.TimeOf(one.Map) is { } known)
            return known;
        var time = TimeOf(one, one.TimePath.Find(root), arrival);
        body.Keep(one.Map, time);
        return time;
    }

    private static OwnTime TimeOf(SensorSeries one, JsonElement? value, in Arrival arrival) =>
        value is not { } told ? new OwnTime(null, $"no time at path {new Name(one.TimePath!.Text)}")
        : TimeReader.TryRead(told, one.Clock.Local(arrival), out var time, out var reason) ? new OwnTime(time, null)
        : new OwnTime(null, reason);

    private static void TellMissed(SensorSeries one, JsonElement root, PayloadResult result)
    {
        var fields = PayloadFields.Of(root);
        one.TellMissed(
            result,
            fields.Count == 0 ? $"no number" : Sentence.Names(fields),
            one.Path!.HasEach ? null : PayloadFields.Nearest(one.Path.Text, fields));
    }
}
