namespace BackyardSentinel.Configuration;

/// <summary>How much of a product goes into a litre of spray.</summary>
/// <param name="PerLitre">Grams, or millilitres where <paramref name="ByVolume"/>; above 0, at most 500.</param>
/// <param name="ByVolume">The product is measured out by volume.</param>
public sealed record ProductDose(double PerLitre, bool ByVolume);
