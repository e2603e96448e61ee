using BackyardSentinel.Infection;
using BackyardSentinel.Web.Drawing;

namespace BackyardSentinel.Web.Year;

/// <summary>The page Year.</summary>
/// <param name="Leaf">What stands round it.</param>
/// <param name="Headline">The one sentence.</param>
/// <param name="Plantings">The site's plantings to choose from.</param>
/// <param name="ReportPath">Where the season is told to be printed.</param>
/// <param name="Facts">The season of the one that is shown; <c>null</c>: the site has none.</param>
/// <param name="Seasons">Its seasons, the newest first.</param>
public sealed record YearView(
    Leaf Leaf,
    string Headline,
    IReadOnlyList<PlantingChoice> Plantings,
    string ReportPath,
    YearFacts? Facts,
    IReadOnlyList<SeasonRow> Seasons)
{
    /// <summary>What tuning came to, read where the page is drawn; <c>null</c>: nothing was kept of it.</summary>
    public Lazy<KeptTuning?> Tuned { get; init; } = new((KeptTuning?)null);
}

/// <summary>A planting to choose.</summary>
/// <param name="Name">What people call it.</param>
/// <param name="Path">Its address.</param>
/// <param name="IsCurrent">It is the one that is shown.</param>
public sealed record PlantingChoice(string Name, string Path, bool IsCurrent);

/// <summary>A row of the table of windows.</summary>
/// <param name="Number">Its number in the strip.</param>
/// <param name="Level">The highest level.</param>
/// <param name="IsCovered">A fresh cover was on the tree.</param>
/// <param name="Opened">When it opened.</param>
/// <param name="LevelText">The level in words.</param>
/// <param name="Weather">Its figures.</param>
/// <param name="Cover">The cover when it opened.</param>
public sealed record WindowRow(string Number, Level Level, bool IsCovered, string Opened, string LevelText, string Weather, string Cover);
