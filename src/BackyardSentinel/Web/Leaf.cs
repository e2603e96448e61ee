using BackyardSentinel.Delivery;
using BackyardSentinel.Infection;
using BackyardSentinel.Web.Access;

namespace BackyardSentinel.Web;

/// <summary>What stands on every page round its own part: head, contents with the state of each page, foot.</summary>
/// <param name="Words">The words, by the site's clock.</param>
/// <param name="Title">The page's title.</param>
/// <param name="Garden">The garden's name.</param>
/// <param name="Now">The moment as people read it.</param>
/// <param name="Current">Which page it is; <c>null</c>: none of the contents.</param>
/// <param name="Contents">The contents.</param>
/// <param name="Sites">The other sites of the garden, where there are any: this page for them.</param>
/// <param name="Level">The highest level of the site.</param>
/// <param name="LevelText">The same in words.</param>
/// <param name="Credit">The credit of the forecast's source; <c>null</c>: none asked for.</param>
/// <param name="Role">What the visitor may do.</param>
/// <param name="Pass">What forms carry.</param>
public sealed record Leaf(
    PageWords Words,
    string Title,
    string Garden,
    string Now,
    Chapter? Current,
    IReadOnlyList<ContentsLine> Contents,
    IReadOnlyList<SiteLink> Sites,
    Level Level,
    string LevelText,
    string? Credit,
    Role Role,
    string Pass)
{
    /// <summary>The visitor may write.</summary>
    public bool MayWrite => Role == Role.Writer;
}

/// <summary>A line of the contents.</summary>
/// <param name="Chapter">The page.</param>
/// <param name="Name">Its name.</param>
/// <param name="Path">Its path.</param>
/// <param name="State">How it stands there, in few words.</param>
public sealed record ContentsLine(Chapter Chapter, string Name, string Path, string State);

/// <summary>A site to go to.</summary>
/// <param name="Name">Its name.</param>
/// <param name="Path">The path.</param>
/// <param name="IsCurrent">It is the one that is shown.</param>
public sealed record SiteLink(string Name, string Path, bool IsCurrent);

/// <summary>The pages of the contents.</summary>
public enum Chapter
{
    /// <summary>Must I do something?</summary>
    Now,

    /// <summary>How wet was it, how long still?</summary>
    Weather,

    /// <summary>Where in the year is the tree?</summary>
    Year,

    /// <summary>What was done and seen.</summary>
    Journal,

    /// <summary>By when, and when best?</summary>
    Spraying,

    /// <summary>Is anything wrong?</summary>
    Sensors,

    /// <summary>What the garden file and a look at the installation say.</summary>
    SetUp,
}
