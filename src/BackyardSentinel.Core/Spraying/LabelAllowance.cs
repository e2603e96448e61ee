namespace BackyardSentinel.Spraying;

/// <summary>What a product's label still allows on a planting. <c>null</c>: the label sets no limit, or it cannot be counted.</summary>
/// <param name="ApplicationsLeft">Applications left this season, from 0.</param>
/// <param name="CopperLeftKgPerHa">Metallic copper left this season, all coppers counted together, kg/ha; below 0 when overdrawn.</param>
/// <param name="NotBefore">First day on which the label's interval has passed; <c>null</c> also when nothing was sprayed.</param>
public readonly record struct LabelAllowance(int? ApplicationsLeft, double? CopperLeftKgPerHa, DateOnly? NotBefore);
