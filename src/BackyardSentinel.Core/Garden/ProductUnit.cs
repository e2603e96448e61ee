namespace BackyardSentinel.Garden;

/// <summary>How a product is measured.</summary>
public enum ProductUnit
{
    /// <summary>Weighed, g.</summary>
    Gram,

    /// <summary>Measured by volume, mL.</summary>
    Millilitre,
}
