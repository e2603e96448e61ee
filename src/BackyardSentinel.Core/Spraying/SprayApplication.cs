using BackyardSentinel.Garden;

namespace BackyardSentinel.Spraying;

/// <summary>One spray of the journal with what it put on the planting.</summary>
/// <param name="Entry">The journal's entry.</param>
/// <param name="Product">The product it names.</param>
/// <param name="CopperG">Metallic copper, g; 0 for a product without copper, <c>null</c>: cannot be counted.</param>
/// <param name="CopperKgPerHa">The same over the canopy area, kg/ha; <c>null</c>: copper or canopy area not known.</param>
/// <param name="SoilMgPerKg">Rise in the top 20 cm of soil if all of it gets there, mg/kg; <c>null</c> likewise.</param>
public sealed record SprayApplication(
    SprayEntry Entry, SprayProduct Product, double? CopperG, double? CopperKgPerHa, double? SoilMgPerKg);
