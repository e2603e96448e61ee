
namespace BackyardSentinel.Web.Sensors;

/// <summary>The addresses of the page Sensors. The store is read beside the loop.</summary>
/// <param name="parts">What the page is made from.</param>
/// <param name="guard">Knows whose visit it is.</param>
/// <param name="ask">Asks the loop.</param>
/// <param name="ear">Listens; <c>null</c>: there is no broker to listen to.</param>
internal sealed class SensorsRoutes(PageParts parts, Guard guard, LoopQuestion ask, SensorEar? ear)
{
    /// <summary>While it is listened the browser looks again so often, s.</summary>
    private const string LookAgain = "5";

    /// <summary>Maps them.</summary>
    /// <param name="app">Where to.</param>
    public void Map(WebApplication app)
    {
        app.MapLook(Leaves.PathOf(Chapter.Sensors), ShowAsync);
        app.MapLook(MessagePage.Path, context => MessageAsync(context, "", ""));
        app.MapPost(MessagePage.Path, ReadAsync);
        if (ear is null)
            return;
        app.Lifetime.ApplicationStopping.Register(ear.Dispose);
        app.MapPost(MessagePage.ListenPath, context =>
        {
            ear.Listen();
            context.GoTo(guard.VisitOf(context).Link(MessagePage.Path));
            return Task.CompletedTask;
        });
    }

    private async Task ShowAsync(HttpContext context)
    {
        var visit = guard.VisitOf(context);
        var state = await ask.AskAsync(now => SensorsPage.Look(visit, now), context.RequestAborted).ConfigureAwait(false);
        var look = SensorsLook.At(parts.Books.Path, parts.Garden.Series, visit.Site.Id, state.At);
        await context.SendAsync(Pages.Sensors.Create(SensorsPage.Of(visit, state, look))).ConfigureAwait(false);
    }

    private async Task ReadAsync(HttpContext context)
    {
        var form = await context.Request.ReadFormAsync(context.RequestAborted).ConfigureAwait(false);
        await MessageAsync(context, form["topic"].ToString(), form["message"].ToString()).ConfigureAwait(false);
    }

    private async Task MessageAsync(HttpContext context, string topic, string message)
    {
        var visit = guard.VisitOf(context);
        var (leaf, at) = await ask
            .AskAsync(now => (Leaves.Of(visit, now, Chapter.Sensors, visit.Words.Say("message")), now.At), context.RequestAborted)
            .ConfigureAwait(false);
        if (message.Length == 0 && ear?.Now() is { IsRunning: true })
            context.Response.Headers["Refresh"] = LookAgain;
        await context.SendAsync(Pages.Message.Create(MessagePage.Of(visit, leaf, topic, message, ear, at))).ConfigureAwait(false);
    }
}
