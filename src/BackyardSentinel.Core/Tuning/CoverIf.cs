using BackyardSentinel.Garden;
using BackyardSentinel.Infection;

namespace BackyardSentinel.Tuning;

/// <summary>What was left of a protectant when an infection window opened, and what would have been left under another journal.</summary>
/// <param name="Window">The window as it was.</param>
/// <param name="Then">What would have been left.</param>
public readonly record struct CoverIf(InfectionWindow Window, Cover Then)
{
    /// <summary>What was left.</summary>
    public Cover Was => Window.Cover ?? Cover.None;

    /// <summary>Whether the tree was covered and whether it would have been, in a few words.</summary>
    public string Answer => Was == Then ? $"{Words(Was)} either way" : $"was {Words(Was)}, would have been {Words(Then)}";

    /// <summary>Sets windows beside those of the same weather under another journal of sprays, which opens the same ones.</summary>
    /// <param name="windows">The windows as they were.</param>
    /// <param name="then">Those under the other journal.</param>
    public static IReadOnlyList<CoverIf> Of(IEnumerable<InfectionWindow> windows, IEnumerable<InfectionWindow> then)
    {
        var covers = then.ToDictionary(window => (window.Planting, window.Rule, window.OpenedAt), window => window.Cover ?? Cover.None);
        return [.. windows.Select(window => new CoverIf(window, covers[(window.Planting, window.Rule, window.OpenedAt)]))];
    }

    private static string Words(Cover cover) => cover switch
    {
        Cover.Fresh => "covered",
        Cover.Recheck => "due for a look (recheck)",
        Cover.Spent => "not covered (spent)",
        Cover.None => "not covered (none)",
    };
}
