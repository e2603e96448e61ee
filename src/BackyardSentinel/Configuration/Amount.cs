namespace BackyardSentinel.Configuration;

/// <summary>An amount in the unit its kind is reckoned in.</summary>
/// <param name="Value">Litres, grams, square metres, metres per second or degrees Celsius.</param>
/// <param name="Kind">What it measures.</param>
public readonly record struct Amount(double Value, AmountKind Kind);
