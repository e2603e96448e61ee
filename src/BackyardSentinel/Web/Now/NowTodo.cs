using BackyardSentinel.Garden;
using BackyardSentinel.Infection;
using BackyardSentinel.Live;
using BackyardSentinel.Planning;
using BackyardSentinel.Watching;

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
            .SelectMany(planting => LooksDue(now, visit.Site.Id, planting, today), (planting, one) => (planting.Planting, One: one))
            .GroupBy(look => look.Planting)
            // The days of the first window: who waits for those of a later one finds spent leaves.
            .Select(tree => (tree.Key.Called, First: tree.MinBy(look => look.One.LikelyFrom).One))
            .GroupBy(tree => (From: tree.First.LikelyFrom, To: tree.First.LikelyTo, tree.First.Last), tree => tree.Called))
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
        todo.Add(new TodoView(words.Say(PlanAnswer.Of(request, plan)), visit.Link("/spraying"), words.Say("now.do.spraying")));
        return todo;
    }

    /// <summary>Windows from which curl may still show, and after which the grower has not looked in the likely days yet.</summary>
    /// <param name="now">The garden now.</param>
    /// <param name="site">The site's id.</param>
    /// <param name="planting">The planting.</param>
    /// <param name="today">The site's day.</param>
    public static IEnumerable<Incubation> LooksDue(GardenNow now, string site, PlantingWatch planting, DateOnly today) =>
        planting.Incubations.Where(window =>
        window.Last >= today
        && !now.Journal.OfType<ScoutEntry>().Any(entry =>
            entry.Site == site && entry.Planting == planting.Planting.Id && entry.On >= window.LikelyFrom));
}
