using BackyardSentinel.Phenology;

namespace BackyardSentinel.Garden;

/// <summary>The ways winter chill is counted. A variety's need holds only for the model it was found with.</summary>
public enum ChillModel
{
    /// <summary>Chill portions of the <see cref="DynamicModel"/>.</summary>
    Portions,

    /// <summary>Chill units by <see cref="ChillUnits.Utah"/>.</summary>
    Utah,

    /// <summary>Chill units by <see cref="ChillUnits.PositiveUtah"/>.</summary>
    PositiveUtah,

    /// <summary>Hours by <see cref="ChillUnits.ChillingHour"/>.</summary>
    Hours,
}

/// <summary>The words of the garden file.</summary>
public static class ChillModelWords
{
    /// <summary>As the garden file spells it: <c>positive-utah</c>.</summary>
    public static string Word(this ChillModel chillmodel) => chillmodel switch
    {
        ChillModel.Portions => "portions",
        ChillModel.Utah => "utah",
        ChillModel.PositiveUtah => "positive-utah",
        ChillModel.Hours => "hours",
    };
}
