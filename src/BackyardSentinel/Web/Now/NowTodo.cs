using BackyardSentinel.Garden;
using BackyardSentinel.Infection;
using BackyardSentinel.Live;
using BackyardSentinel.Planning;

namespace BackyardSentinel.Web.Now;

/// <summary>What to do, the action first, and then what not.</summary>
internal static class NowTodo
{
    /// <summary>The lines.</summary>
    public static IReadOnlyList<TodoView> Of(Visit visit, GardenNow now)
    {
        var (words, watch) = (visit.Words, visit.WatchIn(now));
        List<TodoView> todo = [];
        var asked = watch.Plantings.Where(Leaves.NeedsALook).Select(planting => planting.Planting.Called).ToList();
        if (asked.Count > 0)
            todo.Add(new TodoView(
                words.Say("now.do.buds", ("names", words.List(asked))),
                visit.Link("/journal/stage"),
                words.Say("now.do.write")));
        var today = words.DayOf(now.At);
        foreach (var looks in watch.Plantings
            .SelectMany(planting => planting.Incubations, (planting, one) => (planting.Planting, One: one))
            .Where(look => look.One.Last >= today && !HasLooked(now, watch, look.Planting, look.One))
            .GroupBy(look => look.Planting)
            .GroupBy(
                tree =>
                    (
                        From: tree.Min(look => look.One.LikelyFrom),
                        To: tree.Max(look => look.One.LikelyTo),
                        Last: tree.Max(look => look.One.Last)),
                tree => tree.Key.Called))
        {
            var names = words.List([.. looks]);
            todo.Add(looks.Key.From > today
                ? new TodoView(words.Say("now.do.look-from", ("names", names), ("day", words.Date(looks.Key.From))))
                : new TodoView(
                    words.Say("now.do.look", ("names", names), ("day", words.Date(looks.Key.To >= today ? looks.Key.To : looks.Key.Last))),
                    visit.Link("/journal/scout"),
                    words.Say("now.do.write")));
        }

        var (request, plan) = now.PlanOf(visit.Site.Id);
        todo.Add(new TodoView(PlanAnswer.Of(request, plan), visit.Link("/spraying"), words.Say("now.do.spraying")));
        return todo;
    }

    /// <summary>The grower has looked in the likely days of that window.</summary>
    private static bool HasLooked(GardenNow now, SiteWatch watch, Planting planting, Incubation window) => now.Journal
        .OfType<ScoutEntry>()
        .Any(entry => entry.Site == watch.Site.Id && entry.Planting == planting.Id && entry.On >= window.LikelyFrom);
}
