namespace BackyardSentinel.Garden;

/// <summary>Ways to tell wet leaves from dry ones without a leaf-wetness sensor.</summary>
public enum WetnessEstimator
{
    /// <summary>Wet at and above a relative humidity (90 % unless set).</summary>
    HumidityThreshold,

    /// <summary>Humidity threshold extended by the change of humidity over 30 minutes.</summary>
    ExtendedThreshold,

    /// <summary>Dew-point depression with separate onset and dry-off.</summary>
    DewPointDepression,

    /// <summary>The CART/SLD classification tree; calm air is assumed where wind is missing.</summary>
    ClassificationTree,
}

/// <summary>The words of the garden file.</summary>
public static class WetnessEstimatorWords
{
    /// <summary>As the garden file spells it: <c>dew-point-depression</c>.</summary>
    public static string Word(this WetnessEstimator estimator) => estimator switch
    {
        WetnessEstimator.HumidityThreshold => "humidity-threshold",
        WetnessEstimator.ExtendedThreshold => "extended-threshold",
        WetnessEstimator.DewPointDepression => "dew-point-depression",
        WetnessEstimator.ClassificationTree => "classification-tree",
    };
}
