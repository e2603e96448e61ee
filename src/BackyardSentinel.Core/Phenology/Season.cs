namespace BackyardSentinel.Phenology;

/// <summary>One year of a tree, from the end of summer to the end of the next, in local days: half-open [Start, End).</summary>
/// <param name="Year">The calendar year of its spring.</param>
/// <param name="Start">First day.</param>
/// <param name="ChillFrom">First day whose chill counts; until then the year before is over and nothing has begun.</param>
/// <param name="End">First day of the next season.</param>
public readonly record struct Season(int Year, DateOnly Start, DateOnly ChillFrom, DateOnly End)
{
    /// <summary>Whether a local day lies in this season.</summary>
    public bool Contains(DateOnly day) => day >= Start && day < End;
}
