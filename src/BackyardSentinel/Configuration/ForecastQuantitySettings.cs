using BackyardSentinel.Units;

namespace BackyardSentinel.Configuration;

/// <summary>Where one quantity is found in a forecast and what its numbers mean.</summary>
public sealed record ForecastQuantitySettings
{
    /// <summary>temperature, humidity, rain, rain-probability, wind-speed or cloud.</summary>
    public required string Quantity { get; init; }

    /// <summary>Path of the number or the list; with SenML the record's full name.</summary>
    public required string Path { get; init; }

    /// <summary>The unit of the numbers.</summary>
    public required Unit Unit { get; init; }

    /// <summary>The garden file says the unit; otherwise it is the usual one, which a payload may well not use.</summary>
    public bool UnitIsStated { get; init; }

    /// <summary>Path of the unit's name in the message; <c>null</c> when it is not told there.</summary>
    public string? UnitPath { get; init; }

    /// <summary>The number is multiplied by this first; not 0.</summary>
    public double Scale { get; init; } = 1;

    /// <summary>instant, mean or sum; rain is a sum and nothing else is.</summary>
    public required string Kind { get; init; }

    /// <summary>previous, next or interval; <c>null</c> for an instant.</summary>
    public string? Period { get; init; }

    /// <summary>Length of a previous or next period, h, 0.25 to 240.</summary>
    public double Hours { get; init; } = 1;
}
