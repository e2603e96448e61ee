using BackyardSentinel.Infection;

namespace BackyardSentinel.Web.Now;

/// <summary>The page Now, put into words.</summary>
/// <param name="Leaf">What stands round it.</param>
/// <param name="Level">The level of the mark.</param>
/// <param name="IsCovered">A fresh cover was on the tree.</param>
/// <param name="Kick">The level in words.</param>
/// <param name="Headline">The one sentence.</param>
/// <param name="Lines">What belongs to it, a sentence each.</param>
/// <param name="AsOf">As of when, by how many sensors.</param>
/// <param name="Todo">What to do, and what not.</param>
/// <param name="Needs">What infection needs; <c>null</c> while nothing builds up.</param>
/// <param name="Trees">The plantings.</param>
/// <param name="Days">The days one by one; <c>null</c>: nothing is known yet.</param>
public sealed record NowView(
    Leaf Leaf,
    Level Level,
    bool IsCovered,
    string Kick,
    string Headline,
    IReadOnlyList<string> Lines,
    string AsOf,
    IReadOnlyList<TodoView> Todo,
    NeedsView? Needs,
    IReadOnlyList<TreeView> Trees,
    NowDays? Days)
{
    /// <summary>The last message that waits for an answer; <c>null</c>: none.</summary>
    public ToldView? Told { get; init; }
}

/// <summary>A message that waits for an answer.</summary>
/// <param name="Path">Its page.</param>
/// <param name="Text">When it was told, and its title.</param>
public sealed record ToldView(string Path, string Text);

/// <summary>Something to do.</summary>
/// <param name="Text">The sentence.</param>
/// <param name="Path">Where it is done on the page; <c>null</c>: nowhere.</param>
/// <param name="Action">The words of the link.</param>
public sealed record TodoView(string Text, string? Path = null, string? Action = null);

/// <summary>What infection needs.</summary>
/// <param name="Rows">The conditions.</param>
public sealed record NeedsView(IReadOnlyList<NeedView> Rows);

/// <summary>One condition.</summary>
/// <param name="What">What is measured.</param>
/// <param name="SoFar">How much there is.</param>
/// <param name="Asked">How much is asked.</param>
/// <param name="Missing">What is missing, or that it is reached.</param>
/// <param name="Share">How much of it is reached, 0–1; <c>null</c>: no least figure is asked.</param>
public sealed record NeedView(string What, string SoFar, string Asked, string Missing, double? Share);

/// <summary>One planting.</summary>
/// <param name="Id">Its id.</param>
/// <param name="Name">What people call it.</param>
/// <param name="Kind">Variety, kind and number of trees.</param>
/// <param name="Level">Its level.</param>
/// <param name="IsCovered">A fresh cover is on it.</param>
/// <param name="LevelText">The level's word.</param>
/// <param name="LevelNumber">Its number.</param>
/// <param name="Lines">How it stands, a sentence each.</param>
/// <param name="Facts">Stage, cover and what else, by name.</param>
public sealed record TreeView(
    string Id,
    string Name,
    string Kind,
    Level Level,
    bool IsCovered,
    string LevelText,
    string LevelNumber,
    IReadOnlyList<string> Lines,
    IReadOnlyList<(string Name, Lazy<string> Value)> Facts);
