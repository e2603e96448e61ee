using BackyardSentinel.Sensors;
using BackyardSentinel.Weather;

namespace BackyardSentinel.Proposing;

/// <summary>One value of one topic, and what was heard of it.</summary>
/// <param name="topic">The topic.</param>
/// <param name="seen">The value, as it came first.</param>
internal sealed class HeardSeries(string topic, SeenValue seen)
{
    private const int MostArrivals = 1000;

    private readonly List<DateTimeOffset> _live = [];
    private bool _whole = true, _neverFell = true;
    private int _repeats, _numbers;

    public string Topic => topic;

    /// <summary>Where and how the value stands in the message.</summary>
    public SeenValue Seen { get; private set; } = seen;

    /// <summary>The first message and the last, with their arrival.</summary>
    public (ReadOnlyMemory<byte> Payload, DateTimeOffset At) FirstMessage { get; private set; }

    /// <inheritdoc cref="FirstMessage"/>
    public (ReadOnlyMemory<byte> Payload, DateTimeOffset At) LastMessage { get; private set; }

    public double Lowest { get; private set; } = double.PositiveInfinity;

    public double Highest { get; private set; } = double.NegativeInfinity;

    public double Last { get; private set; } = double.NaN;

    /// <summary>What sensors send when they measure nothing, if it came; <c>null</c>: it did not.</summary>
    public double? Filler { get; private set; }

    public int Messages { get; private set; }

    public int Retained { get; private set; }

    /// <summary>How long it is between two messages: the middle one of the gaps; <c>null</c>: fewer than two came live.</summary>
    public TimeSpan? Every
    {
        get
        {
            List<TimeSpan> gaps = [.. _live.Zip(_live.Skip(1), (one, next) => next - one).Order()];
            return gaps.Count == 0 ? null : gaps[gaps.Count / 2];
        }
    }

    /// <summary>A message brought it.</summary>
    public void Take(SeenValue value, ReadOnlyMemory<byte> payload, DateTimeOffset at, bool retained)
    {
        // A value that came as a whole number once may have a point the next time, and a unit only sometimes.
        Seen = value with { UnitText = value.UnitText ?? Seen.UnitText, UnitIsBehind = value.UnitIsBehind || Seen.UnitIsBehind };
        if (Messages++ == 0)
            FirstMessage = (payload, at);
        LastMessage = (payload, at);
        if (retained)
            Retained++;
        else if (_live.Count < MostArrivals)
            _live.Add(at);
        foreach (var number in value.Numbers)
            Take(number);
    }

    /// <summary>What can be seen of it, for a guess.</summary>
    /// <param name="unit">The unit that was told elsewhere; <c>null</c>: none.</param>
    public SensorTraits Traits(string? unit) => new([.. Seen.Names, .. topic.Split('/').Reverse().Where(level => level.Length > 0)])
    {
        OwnNames = Seen.Names.Count,
        IsUnnamed = Seen.Path is not null && Seen.Names.Count == 0,
        UnitText = Seen.UnitText ?? unit,
        UnitIsBehind = Seen.UnitIsBehind,
        IsWord = Seen.IsWord,
        Lowest = _numbers == 0 ? Filler ?? 0 : Lowest,
        Highest = _numbers == 0 ? Filler ?? 0 : Highest,
        Count = Math.Max(1, _numbers),
        AreWhole = _whole,
        NeverFell = _neverFell,
        Repeats = _repeats,
        Every = Every,
    };

    private void Take(double number)
    {
        if (UnitHint.IsFiller(number))
        {
            Filler = number;
            return;
        }

        if (_numbers++ > 0)
        {
            _neverFell &= number >= Last;
            if (number == Last && number != 0)
                _repeats++;
        }

        Last = number;
        Lowest = Math.Min(Lowest, number);
        Highest = Math.Max(Highest, number);
        _whole &= double.IsInteger(number);
    }
}
