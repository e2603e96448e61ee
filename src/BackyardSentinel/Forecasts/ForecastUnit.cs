using BackyardSentinel.Garden;
using BackyardSentinel.Units;

namespace BackyardSentinel.Forecasts;

/// <summary>Reads the names that sources give their units; the prefix of a code or an address is ignored.</summary>
internal static class ForecastUnit
{
    /// <summary>The unit in which a quantity is reckoned.</summary>
    public static Unit Own(ForecastQuantity quantity) => UnitSystem.Metric.UnitOf(Of(quantity));

    /// <summary>The units that the garden file may name for a quantity: those of a sensor; the first holds where none is named.</summary>
    public static IReadOnlyList<Unit> Written(ForecastQuantity quantity) =>
        Quantities.All.First(facts => facts.Dimension == Of(quantity)).Units;

    /// <summary>The unit of a name.</summary>
    /// <param name="quantity">What is measured: <c>m</c> is a unit of rain, not of temperature.</param>
    /// <param name="name">The name as the payload has it.</param>
    /// <returns><c>null</c> for a name that is none of this quantity's.</returns>
    public static Unit? Of(ForecastQuantity quantity, string name)
    {
        name = name.Trim();
        if (name.Contains("://", StringComparison.Ordinal)) name = name[(name.LastIndexOfAny(['/', '#']) + 1)..];
        return Unit.Find(Of(quantity), name[(name.LastIndexOf(':') + 1)..]);
    }

    private static Dimension Of(ForecastQuantity quantity) => quantity switch
    {
        ForecastQuantity.Temperature => Dimension.Temperature,
        ForecastQuantity.Rain => Dimension.Depth,
        ForecastQuantity.WindSpeed => Dimension.Speed,
        ForecastQuantity.Humidity or ForecastQuantity.RainProbability or ForecastQuantity.Cloud => Dimension.Share,
    };
}
