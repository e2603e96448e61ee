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

    /// <summary>JSON path of the number; <c>null</c> when the message is the number.</summary>
    public string? Path { get; init; }

    /// <summary>JSON path of the reading's time; <c>null</c> when arrival counts.</summary>
    public string? TimePath { get; init; }

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

    /// <summary>The sensor writes <c>12,5</c> for twelve and a half.</summary>
    public bool DecimalComma { get; init; }

    /// <summary>Leaf wetness only: the value at which the leaf turns wet.</summary>
    public double WetOn { get; init; } = 50;

    /// <summary>Leaf wetness only: the value past which the leaf is dry again.</summary>
    public double WetOff { get; init; } = 20;

    /// <summary>Leaf wetness only: the value falls when the leaf is wet.</summary>
    public bool Inverted { get; init; }
}
