using System.Globalization;
using BackyardSentinel.Garden;
using BackyardSentinel.Live;
using BackyardSentinel.Storage;
using BackyardSentinel.Watching;

namespace BackyardSentinel.Web.Journal;

/// <summary>The addresses of the journal. What is written is judged by the same check as the command's.</summary>
/// <param name="parts">What the page is made from.</param>
/// <param name="guard">Knows whose visit it is.</param>
/// <param name="ask">Asks the loop.</param>
internal sealed class JournalRoutes(PageParts parts, Guard guard, LoopQuestion ask)
{
    private const string Number = "number", Written = "written", Taken = "taken";

    /// <summary>Maps them.</summary>
    /// <param name="app">Where to.</param>
    public void Map(IEndpointRouteBuilder app)
    {
        app.MapLook(JournalForms.Path, context => ShowAsync(context, JournalForms.All[0]));
        foreach (var form in JournalForms.All)
        {
            app.MapLook(form.Path, context => ShowAsync(context, form));
            app.MapPost(form.Path, context => WriteAsync(context, form));
        }

        app.MapPost(JournalForms.TakeBackPath, context => TakeBackAsync(context));
        app.MapPost(JournalForms.PutBackPath, context => PutBackAsync(context));
    }

    private async Task ShowAsync(HttpContext context, JournalForm form)
    {
        var scene = await SceneAsync(context).ConfigureAwait(false);
        var query = context.Request.Query;
        var (written, taken) = (Rows(scene, query[Written].ToString().Split('.')), Rows(scene, query[Taken].ToString().Split('.')));
        await context.SendAsync(Pages.Journal.Create(
            written.Count > 0 ? JournalPage.Written(scene, written)
            : taken.Count > 0 ? JournalPage.TakenBack(scene, taken)
            : JournalPage.Form(scene, form, form.Preset(scene), new FormFaults(), query["all"] == "1"))).ConfigureAwait(false);
    }

    private async Task WriteAsync(HttpContext context, JournalForm form)
    {
        var values = FormValues.Of(await context.Request.ReadFormAsync(context.RequestAborted).ConfigureAwait(false));
        var scene = await SceneAsync(context).ConfigureAwait(false);
        var faults = new FormFaults();
        // Read and written in one turn, so that two thumbs at once do not both find the day free.
        IReadOnlyList<long> numbers = [];
        try
        {
            numbers = form.Missing(scene) is not null ? [] : parts.Books.WithJournal(book =>
            {
                scene = scene with { Rows = book.Rows() };
                return Twice(scene, form, values) ?? book.Add(form.Read(scene, values, faults), scene.State.Now);
            });
        }
        catch (StoreException failure)
        {
            faults.Add(JournalForm.Trees, failure.Message);
        }

        if (numbers.Count > 0)
        {
            context.GoTo(scene.Visit.Link($"{JournalForms.Path}?{Written}={Joined(numbers)}"));
            return;
        }

        context.Response.StatusCode = StatusCodes.Status422UnprocessableEntity;
        await context.SendAsync(Pages.Journal.Create(JournalPage.Form(scene, form, values, faults, all: false))).ConfigureAwait(false);
    }

    /// <summary>
    /// A button that is pressed twice writes once: the lines that already say the very same; <c>null</c>: there are none.
    /// </summary>
    private static List<long>? Twice(JournalScene scene, JournalForm form, FormValues values)
    {
        var entries = form.Told(scene, values, new FormFaults());
        List<long> there = [.. entries.Select(entry => JournalCheck.SaidAlready(entry, scene.Standing)?.Number).OfType<long>()];
        return entries.Count > 0 && there.Count == entries.Count ? there : null;
    }

    private async Task TakeBackAsync(HttpContext context)
    {
        var form = await context.Request.ReadFormAsync(context.RequestAborted).ConfigureAwait(false);
        var scene = await SceneAsync(context).ConfigureAwait(false);
        var numbers = parts.Books.WithJournal(book =>
        {
            var entries = JournalRow.Standing(book.Rows())
                .Where(entry => entry.Site == scene.Site.Id && form[Number].Contains(Text(entry.Number)))
                .ToList();
            book.Withdraw(entries, scene.State.Now);
            return entries.Select(entry => entry.Number).ToList();
        });
        context.GoTo(scene.Visit.Link(numbers.Count > 0 ? $"{JournalForms.Path}?{Taken}={Joined(numbers)}" : JournalForms.Path));
    }

    private async Task PutBackAsync(HttpContext context)
    {
        var form = await context.Request.ReadFormAsync(context.RequestAborted).ConfigureAwait(false);
        var scene = await SceneAsync(context).ConfigureAwait(false);
        JournalFault? against = null;
        var numbers = parts.Books.WithJournal(book =>
        {
            scene = scene with { Rows = book.Rows() };
            List<JournalEntry> again = [];
            foreach (var entry in Rows(scene, [.. form[Number].OfType<string>()]).Select(row => row.Entry! with { Number = 0 }))
            {
                // One that stands already, or was contradicted meanwhile, is not written again.
                if (JournalCheck.SaidAlready(entry, scene.Standing) is not null)
                    continue;
                if (JournalCheck.Against(entry, scene.Standing, scene.State.Now, scene.Site) is { } fault)
                    against = fault;
                else
                    again.Add(entry);
            }

            return book.Add(again, scene.State.Now);
        });
        if (numbers.Count == 0 && against is not null)
        {
            var words = scene.Visit.Words;
            await guard.FaultAsync(context, StatusCodes.Status422UnprocessableEntity, words.Say("fault.foreign"), words.Say(against.What))
                .ConfigureAwait(false);
            return;
        }

        context.GoTo(scene.Visit.Link(numbers.Count > 0 ? $"{JournalForms.Path}?{Written}={Joined(numbers)}" : JournalForms.Path));
    }

    private async Task<JournalScene> SceneAsync(HttpContext context)
    {
        var visit = guard.VisitOf(context);
        var state = HttpMethods.IsPost(context.Request.Method)
            ? await ask.AskToWriteAsync(Look, context.RequestAborted).ConfigureAwait(false)
            : await ask.AskAsync(Look, context.RequestAborted).ConfigureAwait(false);
        return new JournalScene(visit, state, parts.Books.WithJournal(book => book.Rows()));

        JournalState Look(GardenNow now) => JournalState.Of(visit, now);
    }

    /// <summary>The entries of the site with these numbers.</summary>
    private static IReadOnlyList<JournalRow> Rows(JournalScene scene, IReadOnlyList<string> numbers) =>
        [.. scene.Rows.Where(row => row.Entry is { } entry && entry.Site == scene.Site.Id && numbers.Contains(Text(row.Number)))];

    private static string Text(long number) => number.ToString(CultureInfo.InvariantCulture);

    private static string Joined(IEnumerable<long> numbers) => string.Join('.', numbers.Select(Text));
}
