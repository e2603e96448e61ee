using BackyardSentinel.Units;

namespace BackyardSentinel.Configuration.Reading;

/// <summary>An amount in the unit in which its dimension is reckoned.</summary>
/// <param name="Value">Litres, grams, square metres, metres per second, millimetres, metres or degrees Celsius.</param>
/// <param name="Dimension">What it measures.</param>
public readonly record struct Amount(double Value, Dimension Dimension);
