using BackyardSentinel.Garden;
using BackyardSentinel.Live;
using BackyardSentinel.Planning;
using BackyardSentinel.Storage;
using BackyardSentinel.Units;
using BackyardSentinel.Web.Now;

namespace BackyardSentinel.Web.Journal;

/// <summary>What a form of the journal is made from.</summary>
/// <param name="Visit">The visit.</param>
/// <param name="State">How the garden stands.</param>
/// <param name="Rows">The journal's lines.</param>
internal sealed record JournalScene(Visit Visit, JournalState State, IReadOnlyList<JournalRow> Rows)
{
    /// <summary>The site.</summary>
    public Site Site => Visit.Site;

    /// <summary>The garden's units.</summary>
    public UnitSystem Units => Visit.Words.Units;

    /// <summary>Today at the site.</summary>
    public DateOnly Today { get; } = Visit.Words.DayOf(State.Now);

    /// <summary>The entries that hold.</summary>
    public IReadOnlyList<JournalEntry> Standing => JournalRow.Standing(Rows);

    /// <summary>A sentence or word of the journal.</summary>
    /// <param name="key">Its name without <c>journal.</c>.</param>
    /// <param name="values">What is filled in.</param>
    public string Say(string key, params ReadOnlySpan<(string Name, string Value)> values) => Visit.Words.Say("journal." + key, values);
}

/// <summary>How the garden stands, as far as the journal's forms ask for it.</summary>
/// <param name="Leaf">What stands round the page.</param>
/// <param name="Now">Now, UTC.</param>
/// <param name="BudsDue">Plantings whose buds should be looked at.</param>
/// <param name="Looks">Plantings on which curl may show, and within which days.</param>
/// <param name="SpraysDue">Plantings on which a spray is due.</param>
/// <param name="Plan">What is to be sprayed next, in one sentence.</param>
/// <param name="Judged">How each planting stands: its level, and why.</param>
/// <param name="Known">The numbers of the entries that this takes into account.</param>
internal sealed record JournalState(
    Leaf Leaf,
    DateTimeOffset Now,
    IReadOnlyList<string> BudsDue,
    IReadOnlyList<LookDue> Looks,
    IReadOnlyList<string> SpraysDue,
    string Plan,
    IReadOnlyDictionary<string, (string Level, string Why)> Judged,
    IReadOnlySet<long> Known)
{
    /// <summary>Looks at the garden. Runs on the loop's thread.</summary>
    /// <param name="visit">The visit.</param>
    /// <param name="now">The garden now.</param>
    public static JournalState Of(Visit visit, GardenNow now)
    {
        var watch = visit.WatchIn(now);
        var (request, plan) = now.PlanOf(visit.Site.Id);
        return new JournalState(
            Leaves.Of(visit, now, Chapter.Journal),
            now.At,
            [.. watch.Plantings.Where(Leaves.NeedsALook).Select(one => one.Planting.Id)],
            [
                .. watch.Plantings
                    .Select(one => (one.Planting.Id,
                        Windows: NowTodo.LooksDue(now, visit.Site.Id, one, visit.Words.DayOf(now.At)).ToList()))
                    .Where(one => one.Windows.Count > 0)
                    .Select(one => (one.Id, First: one.Windows.MinBy(each => each.LikelyFrom)!))
                    .Select(one => new LookDue(one.Id, one.First.LikelyFrom, one.First.LikelyTo)),
            ],
            [
                .. plan.Plantings
                    .Where(one => one.Due.Any(due => due.What is not (DueTask.LookAtCover or DueTask.Shelter)))
                    .Select(one => one.Planting),
            ],
            visit.Words.Say(PlanAnswer.Of(request, plan)),
            watch.Plantings.ToDictionary(
                one => one.Planting.Id, one => (NowTree.LevelText(visit.Words, one.Risk), NowTree.Lines(visit, now, one)[0])),
            now.Journal.Select(one => one.Number).ToHashSet());
    }

}

/// <summary>Curl from an earlier window may show.</summary>
/// <param name="Planting">On this planting.</param>
/// <param name="From">From this local day.</param>
/// <param name="To">To this one.</param>
internal sealed record LookDue(string Planting, DateOnly From, DateOnly To);
