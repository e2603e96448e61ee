using BackyardSentinel.Garden;
using BackyardSentinel.Planning;

namespace BackyardSentinel.Contract;

/// <summary>A plan with what it was made from.</summary>
/// <param name="Garden">The garden's name.</param>
/// <param name="Site">The site planned for.</param>
/// <param name="Watch">The watch over it.</param>
/// <param name="Request">What the plan was computed from.</param>
/// <param name="Plan">The plan.</param>
/// <param name="Hours">Hours refused by the weather.</param>
/// <param name="Mix">The mix that was asked for, if there is one.</param>
/// <param name="Findings">What is wrong with the journal, the forecast or the wish for a mix, a sentence each.</param>
public sealed record PlanResult(
    string Garden,
    Site Site,
    SiteWatch Watch,
    PlanRequest Request,
    SprayPlan Plan,
    IReadOnlyList<RefusedSpray> Hours,
    PlanMix? Mix,
    IReadOnlyList<string> Findings);
