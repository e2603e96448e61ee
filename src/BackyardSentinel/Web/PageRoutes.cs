using BackyardSentinel.Live;
using BackyardSentinel.Web.Access;
using BackyardSentinel.Web.Alerts;
using BackyardSentinel.Web.Now;
using BackyardSentinel.Web.Weather;
using BackyardSentinel.Web.Year;
using Microsoft.AspNetCore.Http;
using Microsoft.AspNetCore.Routing;
using RazorSlices;
using ILogger = Serilog.ILogger;

namespace BackyardSentinel.Web;

/// <summary>Which address gives which page.</summary>
/// <param name="parts">What the page is made from.</param>
/// <param name="gate">Who is let in.</param>
/// <param name="time">The clock.</param>
/// <param name="log">Where sentences go.</param>
internal sealed class PageRoutes(PageParts parts, Gate gate, TimeProvider time, ILogger log)
{
    /// <summary>The loop answers within milliseconds; one that does not stands, as with a disk that takes nothing.</summary>
    private static readonly TimeSpan Patience = TimeSpan.FromSeconds(3);

    private readonly Guard _guard = new(gate, parts);

    /// <summary>Maps everything.</summary>
    public void Map(WebApplication app)
    {
        app.Use(_guard.PassAsync);
        app.UseRouting();
        PageFiles.Map(app);
        app.MapGet(Guard.EnterPath, _guard.ShowEnterAsync);
        app.MapPost(Guard.EnterPath, _guard.EnterAsync);

        Show(app, "/", (visit, now) => Pages.Now.Create(NowPage.Of(visit, now, parts.Books.Alerts())));
        Show(app, "/alert/{id}", (visit, now, context) => AlertPage.Of(visit, now, Id(context)) is { } view ? Pages.Alert.Create(view) : null);
        app.MapPost("/alert/{id}", AnswerAsync);
        Show(app, "/weather", (visit, now, context) => Pages.Weather.Create(WeatherPage.Of(visit, now, context.Request.Query["days"])));
        Show(app, "/year", (visit, now, context) => YearPage.Of(visit, now, context.Request.Query["planting"]) is { } view ? Pages.Year.Create(view) : null);
        app.UseEndpoints(_ => { });
        app.Run(NotFoundAsync);
    }

    private static string Id(HttpContext context) => (string)context.Request.RouteValues["id"]!;

    private void Show(IEndpointRouteBuilder app, string path, Func<Visit, GardenNow, RazorSlice?> page) =>
        Show(app, path, (visit, now, _) => page(visit, now));

    /// <summary>A page that shows the garden as it is now.</summary>
    private void Show(IEndpointRouteBuilder app, string path, Func<Visit, GardenNow, HttpContext, RazorSlice?> page) =>
        app.MapGet(path, context => ShowAsync(context, page));

    private async Task ShowAsync(HttpContext context, Func<Visit, GardenNow, HttpContext, RazorSlice?> page)
    {
        var visit = _guard.VisitOf(context);
        try
        {
            var result = await AskAsync(now => page(visit, now, context), context.RequestAborted).ConfigureAwait(false);
            await (result is null ? NotFoundAsync(context) : context.SendAsync(result)).ConfigureAwait(false);
        }
        catch (OperationCanceledException) when (!context.RequestAborted.IsCancellationRequested)
        {
            await FaultAsync(context, StatusCodes.Status503ServiceUnavailable, "fault.stands").ConfigureAwait(false);
        }
#pragma warning disable CA1031 // a page that fails is told on the page and in the log; the next one may not
        catch (Exception failure) when (failure is not OperationCanceledException)
#pragma warning restore CA1031
        {
            log.Error(failure, "The page {Path} could not be made: {Reason}", context.Request.Path.Value, failure.Message);
            if (!context.Response.HasStarted)
                await FaultAsync(context, StatusCodes.Status500InternalServerError, "fault.broken").ConfigureAwait(false);
        }
    }

    private async Task<T> AskAsync<T>(Func<GardenNow, T> question, CancellationToken ct)
    {
        using var patience = new CancellationTokenSource(Patience, time);
        using var either = CancellationTokenSource.CreateLinkedTokenSource(ct, patience.Token);
        return await parts.Loop.AskAsync(question, either.Token).ConfigureAwait(false);
    }

    private async Task AnswerAsync(HttpContext context)
    {
        var form = await context.Request.ReadFormAsync(context.RequestAborted).ConfigureAwait(false);
        var visit = _guard.VisitOf(context);
        if (parts.Books.Alert(Id(context)) is not { } alert)
        {
            await NotFoundAsync(context).ConfigureAwait(false);
            return;
        }

        var now = time.GetUtcNow();
        parts.Books.Answer(alert.Message, AlertPage.UntilOf(form["answer"] == "later" ? form["later"].ToString() : null, visit, now), now);
        context.GoTo(visit.Link("/alert/" + Uri.EscapeDataString(alert.Message.Id)));
    }

    private Task NotFoundAsync(HttpContext context) => FaultAsync(context, StatusCodes.Status404NotFound, "fault.not-here");

    private Task FaultAsync(HttpContext context, int status, string key)
    {
        context.Response.StatusCode = status;
        var visit = _guard.VisitOf(context);
        var leaf = Leaves.Of(visit, null, null, visit.Words.Say(key));
        return context.SendAsync(Pages.Fault.Create(new FaultView(leaf, visit.Words.Say(key), visit.Words.Say(key + ".do"))));
    }
}
