using System.Globalization;
using System.Text;
using BackyardSentinel.Garden;
using BackyardSentinel.Units;
using BackyardSentinel.Weather;
using BackyardSentinel.Wording;

namespace BackyardSentinel.Sensors;

/// <summary>One series among the messages, with what has to be remembered of it: from a text and a time to a reading.</summary>
internal sealed class SensorSeries
{
    /// <summary>How a reason begins that says that a path leads nowhere.</summary>
    public const string NothingAt = "nothing at path ";

    /// <summary>So many messages without the path's field are told where it was never there, and where it was.</summary>
    private const int MissedWhenNew = 3, MissedWhenKnown = 20;

    /// <summary>Wet minutes above the time they are counted over by so much are two clocks that differ.</summary>
    private const double MostOfEveryPct = 105;

    private readonly RainGauge? _gauge;
    private readonly RainRate? _rate;
    private readonly WetWords? _words;
    private bool _wasFound;
    private int _missed;

    public SensorSeries(SeriesMap map, bool timesAreTheClock)
    {
        Map = map;
        Clock = new SensorClock(map, timesAreTheClock);
        _gauge = map.RainIsTotal ? new RainGauge(map) : null;
        _rate = map.RainIsRate ? new RainRate(map.Name) : null;
        LeftOut = map.LeftOut is { } number ? Encoding.UTF8.GetBytes(number.ToString("R", CultureInfo.InvariantCulture)) : null;
        _words = map.WetWords.Count > 0 ? new WetWords(map.WetWords, map.DryWords) : null;
        if (map.Shape == MessageShape.Json)
            (Path, TimePath, Battery) = (Parsed(map.Path), Parsed(map.TimePath), Parsed(map.BatteryPath));
        else if (map.Path is null)
            throw new ArgumentException($"Series {map.Name} needs a path.", nameof(map));
        Units = new SeriesUnit(map, Path);
    }

    public SeriesMap Map { get; }

    public JsonPath? Path { get; }

    public JsonPath? TimePath { get; }

    public JsonPath? Battery { get; }

    /// <summary>The unit that its messages name.</summary>
    public SeriesUnit Units { get; }

    /// <summary>What a message says that leaves the number out; <c>null</c>: nothing.</summary>
    public byte[]? LeftOut { get; }

    /// <summary>Which time its values count at.</summary>
    public SensorClock Clock { get; }

    /// <summary>The path has led to something.</summary>
    public void Found() => (_wasFound, _missed) = (true, 0);

    /// <summary>Many sensors leave out what has not changed; a path that never leads anywhere, or no longer does, is a mistake.</summary>
    /// <param name="result">Where the reason goes.</param>
    /// <param name="has">What the message has instead.</param>
    /// <param name="near">What the path could be meant for; <c>null</c>: nothing.</param>
    public void TellMissed(PayloadResult result, Sentence has, string? near = null)
    {
        _missed++;
        if (_missed < (_wasFound ? MissedWhenKnown : near is null ? MissedWhenNew : 1))
            result.Say(RemarkKind.NoReading, Map.Name, $"nothing at path {new Name(Map.Path!)} in this message");
        else
            result.Say(
                RemarkKind.Refused,
                Map.Name,
                near is null
                    ? (Sentence)$"nothing at path {new Name(Map.Path!)}; the message has {has}"
                    : $"nothing at path {new Name(Map.Path!)}; the message has {has}; is the path {new Name(near)}?");
    }

    /// <summary>Tells where a rain total stood before the restart.</summary>
    public void Seed(RainTotal total) => _gauge?.Seed(total.TotalMm, total.Time);

    /// <summary>Reads a number with its unit, or a word for wet or dry.</summary>
    /// <param name="text">The bytes.</param>
    /// <param name="unit">The unit behind the number; <c>null</c>: none.</param>
    /// <param name="isJson">It is a number of JSON's own, whose decimal mark is a point.</param>
    public NumberResult Number(ReadOnlySpan<byte> text, out Unit? unit, bool isJson = false)
    {
        unit = null;
        if (_words?.Read(text) is { } word)
            return NumberResult.Of((word - Map.Offset) / Map.Scale);
        var number = NumberReader.Read(text, Map.DecimalComma && !isJson, out var suffix);
        if (_words is not null && number.Outcome == NumberOutcome.Refused && NumberReader.IsWord(text))
            return NumberResult.Refuse($"{NumberReader.Quoted(text)} is neither a number nor a word for wet or dry");
        if (!suffix.IsEmpty)
        {
            unit = Units.Of(suffix);
            if (unit is null)
                return NumberResult.Refuse(
                    $"{NumberReader.Quoted(text)} carries {NumberReader.Quoted(suffix)}, which is no unit known for {Map.Quantity.Said()}");
        }

        if (Map.Unit != Unit.WetOrDry || number.Outcome != NumberOutcome.Number)
            return number;
        return number.Value is 0 or 1
            ? NumberResult.Of(number.Value == 1 ? WetWords.Wet : WetWords.Dry)
            : NumberResult.Refuse($"{NumberReader.Quoted(text)} is neither 1 nor 0 nor a word for wet or dry");
    }

    /// <summary>Takes several values of one message: a backlog is told in any order, and a rain total needs that of time.</summary>
    /// <param name="result">Where readings and reasons go.</param>
    /// <param name="points">The values with their units and times.</param>
    /// <param name="arrival">When the message came.</param>
    public void TakeAll(PayloadResult result, List<(NumberResult Number, Unit? Unit, OwnTime Time)> points, in Arrival arrival)
    {
        Found();
        foreach (var (number, unit, time) in points.OrderBy(point => point.Time.Time ?? DateTimeOffset.MaxValue))
        {
            // Of several values none may be taken to be of now.
            if (points.Count > 1 && number.Outcome == NumberOutcome.Number && Clock.FaultOf(time, arrival.At) is { } fault)
                result.Say(RemarkKind.Refused, Map.Name, $"a value of several is left out: {fault}");
            else
                Take(result, number, unit, time, arrival);
        }
    }

    /// <summary>Takes one value: unit, sense and time, and for rain the amount.</summary>
    /// <param name="result">Where readings and reasons go.</param>
    /// <param name="number">The number as sent.</param>
    /// <param name="unit">The unit that the message names; <c>null</c>: none.</param>
    /// <param name="own">The sensor's own time.</param>
    /// <param name="arrival">When the message came.</param>
    public void Take(PayloadResult result, NumberResult number, Unit? unit, OwnTime own, in Arrival arrival)
    {
        var name = Map.Name;
        if (number.Outcome == NumberOutcome.Number && Map.NoReading.Contains(number.Value))
            number = NumberResult.None($"the sensor says {number.Value}, which stands for no reading");
        if (number.Outcome != NumberOutcome.Number)
        {
            result.Say(number.Outcome == NumberOutcome.NoReading ? RemarkKind.NoReading : RemarkKind.Refused, name, number.Reason!);
            return;
        }

        if (unit is not null && unit != Map.Unit && Map.UnitIsStated && !TakesOtherUnit(unit, result))
            return;
        var value = Map.ToCanonical(number.Value, unit);
        if (!double.IsFinite(value))
        {
            result.Say(RemarkKind.Refused, name, $"the value is beyond any number's range after scaling");
            return;
        }

        if (Map.Every is not null && value is < 0 or > MostOfEveryPct && Map.Every is { } every)
        {
            result.Say(RemarkKind.Refused, name, $"{number.Value} minutes wet cannot be: 0 to {every.TotalMinutes} are taken");
            return;
        }

        if (Clock.Of(own, arrival, result, out var isOwn) is not { } time)
            return;
        if (_gauge is not null || _rate is not null)
        {
            if (AmountOf(value, time, isOwn, arrival.Redelivered, result) is not { } amount)
                return;
            value = amount;
        }

        result.Readings.Add(new SeriesReading(Map, new Reading(Map.Quantity, time, value, default, Map.Rank), isOwn));
    }

    /// <summary>The message's unit is not that of the garden file: it counts, but limits of wetness hold for one scale only.</summary>
    private bool TakesOtherUnit(Unit unit, PayloadResult result)
    {
        var per = Map.RainIsRate ? "/h" : "";
        var (said, stated) = (new Name($"{unit}{per}"), new Name($"{Map.Unit}{per}"));
        if (unit.Dimension == Map.Unit.Dimension && unit.Dimension != Dimension.Raw)
        {
            result.Say(RemarkKind.Note, Map.Name, $"the message says {said}, the garden file {stated}: the message's unit counts");
            return true;
        }

        result.Say(RemarkKind.Refused, Map.Name, $"the message says {said}, the garden file {stated}, and the limits for wet and dry "
            + $"hold for that scale only");
        return false;
    }

    private double? AmountOf(double value, DateTimeOffset time, bool hasOwnTime, bool redelivered, PayloadResult result)
    {
        PayloadRemark? remark;
        double? amount;
        if (_gauge is { } gauge)
        {
            amount = gauge.Advance(value, time, hasOwnTime, redelivered, out remark, out var moved);
            if (moved) result.Totals.Add(new RainTotal(Map.Name, gauge.Counted.Total, gauge.Counted.Time));
        }
        else
        {
            amount = _rate!.Advance(value, time, out remark);
        }

        if (remark is { } said)
            result.Say(said.Kind, said.Series, said.Reason);
        return amount;
    }

    private static JsonPath? Parsed(string? path) => path is null ? null : JsonPath.Parse(path);
}
