namespace BackyardSentinel.Spraying;

/// <summary>The copper a planting has received up to a day. Sprays whose copper cannot be counted are not in it.</summary>
/// <param name="SeasonG">This season, g.</param>
/// <param name="SeasonKgPerHa">This season over the canopy area, kg/ha; <c>null</c>: canopy area not known.</param>
/// <param name="SevenYearG">This season and the six before, g.</param>
/// <param name="SevenYearKgPerHa">The same over the canopy area, kg/ha; <c>null</c> likewise.</param>
/// <param name="SoilMgPerKg">Rise in the top 20 cm of soil by all sprays known, if all of it got there, mg/kg; <c>null</c>
/// likewise.</param>
public readonly record struct CopperBalance(
    double SeasonG, double? SeasonKgPerHa, double SevenYearG, double? SevenYearKgPerHa, double? SoilMgPerKg)
{
    /// <summary>Sprays of copper in the season and the six before that cannot be counted: it is more than the figures say.</summary>
    public int Uncounted { get; init; }
}
