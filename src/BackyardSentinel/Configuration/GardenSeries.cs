using BackyardSentinel.Garden;
using BackyardSentinel.Units;

namespace BackyardSentinel.Configuration;

/// <summary>One sensor's one quantity and where its numbers are found.</summary>
public sealed record GardenSeries
{
    /// <summary>What is measured.</summary>
    public required Quantity Quantity { get; init; }

    /// <summary>What the grower calls the sensor; <c>null</c> when not told.</summary>
    public string? Name { get; init; }

    /// <summary>The exact topic the sensor publishes to.</summary>
    public required string Topic { get; init; }

    /// <summary>How a message arranges its values: <c>json</c>, <c>senml</c> or <c>text</c>.</summary>
    public string Shape { get; init; } = "json";

    /// <summary>JSON path of the number; <c>null</c> when the message is the number.</summary>
    public string? Path { get; init; }

    /// <summary>JSON path of the reading's time; <c>null</c> when arrival counts.</summary>
    public string? TimePath { get; init; }

    /// <summary>The zone of times that tell none; <c>null</c>: they are not taken.</summary>
    public TimeZoneInfo? Zone { get; init; }

    /// <summary>JSON path of the unit; <c>null</c> when not told.</summary>
    public string? UnitPath { get; init; }

    /// <summary>The unit the sensor reports in.</summary>
    public required Unit Unit { get; init; }

    /// <summary>The unit stands in the garden file; otherwise it is the usual one.</summary>
    public bool UnitIsStated { get; init; }

    /// <summary>The number is multiplied by this first.</summary>
    public double Scale { get; init; } = 1;

    /// <summary>This is added after <see cref="Scale"/>, still in the sensor's unit.</summary>
    public double Offset { get; init; }

    /// <summary>Rain only: the number is a running total, and the fall is its growth.</summary>
    public bool CountsTotal { get; init; }

    /// <summary>Rain only: the number is the rate at which it rains.</summary>
    public bool CountsRate { get; init; }

    /// <summary>Rain totals only: the number at which the counter begins again; <c>null</c>: it never does.</summary>
    public double? RollsOverAt { get; init; }

    /// <summary>What a message means that leaves the number out; <c>null</c>: nothing.</summary>
    public double? LeftOut { get; init; }

    /// <summary>Numbers that mean no reading.</summary>
    public IReadOnlyList<double> NoReading { get; init; } = [];

    /// <summary>Leaf wetness only: words for a wet leaf; empty: only numbers are taken.</summary>
    public IReadOnlyList<string> WetWords { get; init; } = [];

    /// <summary>Leaf wetness only: words for a dry leaf.</summary>
    public IReadOnlyList<string> DryWords { get; init; } = [];

    /// <summary>Leaf wetness in minutes only: the time they are counted over.</summary>
    public TimeSpan? Every { get; init; }

    /// <summary>The sensor writes <c>12,5</c> for twelve and a half.</summary>
    public bool DecimalComma { get; init; }

    /// <summary>Leaf wetness only: the value at which the leaf turns wet.</summary>
    public double WetOn { get; init; } = 50;

    /// <summary>Leaf wetness only: the value past which the leaf is dry again.</summary>
    public double WetOff { get; init; } = 20;

    /// <summary>Leaf wetness only: the value falls when the leaf is wet.</summary>
    public bool Inverted { get; init; }
}
