using BackyardSentinel.Sensors;
using BackyardSentinel.Units;

namespace BackyardSentinel.Forecasts;

/// <summary>Where one quantity is found in a forecast, and what its numbers mean.</summary>
/// <remarks>
/// A quantity may have several fields, such as rain for the next hour and rain for the next six: of overlapping periods
/// the shorter wins, of equal ones the field that stands first.
/// </remarks>
public sealed record ForecastField
{
    /// <summary>Checks that the parts fit together.</summary>
    /// <param name="quantity">What it tells.</param>
    /// <param name="path">Path of the value within the row; of the list in columns and layers; the resolved name in SenML.</param>
    /// <param name="unit">The unit of the numbers, unless the payload says otherwise; <c>null</c> for the one in which it is
    /// reckoned.</param>
    /// <param name="scale">Factor on the raw number before its unit is converted; finite, not 0.</param>
    /// <param name="kind">What a number stands for. Rain is a sum and everything else is none.</param>
    /// <param name="period">Which period a mean or a sum covers; in layers the entry's own counts where it has one.</param>
    /// <param name="hours">Length of a previous or next period, h; above 0 to 240.</param>
    /// <param name="unitPath">Path of the unit's name, from the top of the payload; <c>null</c> when it does not say.</param>
    /// <exception cref="ArgumentException">A path, the scale, the kind or the hours are not what they may be.</exception>
    public ForecastField(
        ForecastQuantity quantity, string path, Unit? unit = null, double scale = 1, ForecastKind kind = ForecastKind.Instant,
        ForecastPeriod period = ForecastPeriod.Next, double hours = 1, string? unitPath = null)
    {
        if (path.Length == 0) throw new ArgumentException("the path is empty", nameof(path));
        if (!double.IsFinite(scale) || scale == 0) throw new ArgumentException("the scale is 0 or no number", nameof(scale));
        if (hours is not (> 0 and <= 240)) throw new ArgumentException("the hours of a period are above 0 and at most 240", nameof(hours));
        if ((quantity == ForecastQuantity.Rain) != (kind == ForecastKind.Sum))
            throw new ArgumentException("rain is told as a sum, and nothing else is", nameof(kind));
        (Quantity, Path, Unit, Scale, Kind, Period, Hours) = (
            quantity,
            path,
            unit ?? ForecastUnit.Own(quantity),
            scale,
            kind,
            period,
            hours);
        UnitIsStated = unit is not null;
        if (unitPath is not null) JsonPath.Parse(unitPath);
        UnitPath = unitPath;
    }

    /// <summary>What it tells.</summary>
    public ForecastQuantity Quantity { get; }

    /// <summary>Where it is found.</summary>
    public string Path { get; }

    /// <summary>The unit of its numbers.</summary>
    public Unit Unit { get; }

    /// <summary>The map says this unit itself; a payload that names another contradicts it.</summary>
    public bool UnitIsStated { get; }

    /// <summary>Factor on the raw number.</summary>
    public double Scale { get; }

    /// <summary>What a number stands for.</summary>
    public ForecastKind Kind { get; }

    /// <summary>Which period it covers.</summary>
    public ForecastPeriod Period { get; }

    /// <summary>Length of a previous or next period, h.</summary>
    public double Hours { get; }

    /// <summary>Where the payload says the unit, a path of <see cref="JsonPath"/>.</summary>
    public string? UnitPath { get; }

    /// <summary>The quantity in words, for messages.</summary>
    internal string Name => Quantity.Word();
}
