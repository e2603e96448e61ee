using BackyardSentinel.Live;
using BackyardSentinel.Storage;
using BackyardSentinel.Web.Access;
using BackyardSentinel.Web.Alerts;
using BackyardSentinel.Web.Api;
using BackyardSentinel.Web.Journal;
using BackyardSentinel.Web.Now;
using BackyardSentinel.Web.Report;
using BackyardSentinel.Web.Sensors;
using BackyardSentinel.Web.SetUp;
using BackyardSentinel.Web.Spraying;
using BackyardSentinel.Web.Weather;
using BackyardSentinel.Web.Year;
using BackyardSentinel.Wording;
using Microsoft.AspNetCore.Http.Features;
using Microsoft.Data.Sqlite;
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
    /// <summary>Who found the loop busy may ask again after this, s: years of readings are judged again in about a minute.</summary>
    private const string AskAgain = "20";

    private static readonly TimeSpan LookPatience = TimeSpan.FromSeconds(12);

    private readonly Guard _guard = new(gate, parts);
    private readonly LoopQuestion _ask = new(parts.Loop, time);
    private readonly SensorEar? _ear = parts.Listen is { } hear ? new SensorEar(parts.Garden, hear, time) : null;
    private readonly SetUpLooks? _looks = parts.Examine is { } look ? new SetUpLooks(look, time) : null;

    /// <summary>Maps everything.</summary>
    public void Map(WebApplication app)
    {
        app.Use(FailingAsync);
        app.Use(_guard.PassAsync);
        app.UseRouting();
        PageFiles.Map(app);
        app.MapLook(Guard.EnterPath, _guard.ShowEnterAsync);
        app.MapPost(Guard.EnterPath, _guard.EnterAsync);

        app.MapLook("/", NowAsync);
        app.MapLook("/alert/{**id}", AlertAsync);
        app.MapPost("/alert/{**id}", AnswerAsync);
        app.MapLook("/spraying", SprayingAsync);
        app.MapLook("/set-up", SetUpAsync);
        new SensorsRoutes(parts, _guard, _ask, _ear).Map(app);
        Show(app, "/weather", (visit, now, context) => Pages.Weather.Create(WeatherPage.Of(visit, now, context.Request.Query["days"])));
        Show(
            app,
            "/year",
            (visit, now, context) => YearPage.Of(visit, now, context.Request.Query["planting"]) is { } view
                ? Pages.Year.Create(view)
                : null);
        Show(app, "/report", (visit, now) => ReportPage.Of(visit, now) is { } view ? Pages.Report.Create(view) : null);
        new JournalRoutes(parts, _guard, _ask).Map(app);
        new ApiRoutes(parts, _ask, _guard, time).Map(app);
        app.UseEndpoints(_ => { });
        app.Run(NotFoundAsync);
    }

    private static string Id(HttpContext context) => Uri.UnescapeDataString(context.Request.RouteValues["id"] as string ?? "");

    private void Show(IEndpointRouteBuilder app, string path, Func<Visit, GardenNow, RazorSlice?> page) =>
        Show(app, path, (visit, now, _) => page(visit, now));

    /// <summary>A page that shows the garden as it is now.</summary>
    private void Show(IEndpointRouteBuilder app, string path, Func<Visit, GardenNow, HttpContext, RazorSlice?> page) =>
        app.MapLook(path, context => ShowAsync(context, page));

    /// <summary>What stands in books is read here, and not on the loop's thread, which would take no reading meanwhile.</summary>
    private async Task NowAsync(HttpContext context)
    {
        var visit = _guard.VisitOf(context);
        var (view, at) = await _ask.AskAsync(now => (NowPage.Of(visit, now), now.At), context.RequestAborted).ConfigureAwait(false);
        await context.SendAsync(Pages.Now.Create(view with { Told = NowPage.Told(visit, at) })).ConfigureAwait(false);
    }

    private Task AlertAsync(HttpContext context) => parts.Books.Alert(Id(context)) is { } alert
        ? ShowAsync(context, (visit, now, _) => Pages.Alert.Create(AlertPage.Of(visit, now, alert)))
        : NotFoundAsync(context);

    private async Task ShowAsync(HttpContext context, Func<Visit, GardenNow, HttpContext, RazorSlice?> page)
    {
        var visit = _guard.VisitOf(context);
        var result = await _ask.AskAsync(now => page(visit, now, context), context.RequestAborted).ConfigureAwait(false);
        await (result is null ? NotFoundAsync(context) : context.SendAsync(result)).ConfigureAwait(false);
    }

    /// <summary>A page that fails is told there and in the log, and says nothing of the inside; the next one may not fail.</summary>
    private async Task FailingAsync(HttpContext context, RequestDelegate next)
    {
        try
        {
            await next(context).ConfigureAwait(false);
            if (context.Response is { StatusCode: StatusCodes.Status405MethodNotAllowed, HasStarted: false })
                await FaultAsync(context, StatusCodes.Status405MethodNotAllowed, "fault.method").ConfigureAwait(false);
        }
        catch (OperationCanceledException) when (context.RequestAborted.IsCancellationRequested)
        {
            // Nobody waits for it any longer.
        }
        catch (TimeoutException) when (!context.Response.HasStarted)
        {
            await BusyAsync(context).ConfigureAwait(false);
        }
        catch (Exception failure) when (failure is StoreException or SqliteException && !context.Response.HasStarted)
        {
            var reason = failure is SqliteException database ? StoreRefusal.Of(null, database).Message : failure.Message;
            log.Warning("The page {Path} could not be made: {Reason}", context.Request.Path.Value, reason);
            var remedy = _guard.VisitOf(context).Words.Say("fault.store.do");
            await _guard.FaultAsync(context, StatusCodes.Status503ServiceUnavailable, reason, remedy).ConfigureAwait(false);
        }
        catch (BadHttpRequestException refused) when (!context.Response.HasStarted)
        {
            await FaultAsync(context, refused.StatusCode, "fault.unreadable").ConfigureAwait(false);
        }
        catch (Exception failure) when (failure is InvalidDataException or IOException && IsUnreadForm(context))
        {
            // A form with a character of nothing, with more fields than any of ours, or of parts that end before they should.
            await FaultAsync(context, StatusCodes.Status400BadRequest, "fault.unreadable").ConfigureAwait(false);
        }
#pragma warning disable CA1031 // whatever goes wrong in a page must not stop the service
        catch (Exception failure)
#pragma warning restore CA1031
        {
            log.Error(failure, "The page {Path} could not be made: {Reason}", context.Request.Path.Value, failure.Message);
            if (!context.Response.HasStarted)
                await FaultAsync(context, StatusCodes.Status500InternalServerError, "fault.broken").ConfigureAwait(false);
        }
    }

    private static bool IsUnreadForm(HttpContext context) =>
        context.Request.HasFormContentType && context.Features.Get<IFormFeature>()?.Form is null && !context.Response.HasStarted;

    /// <summary>
    /// The loop did not answer in time. Whoever looks is shown the page once it does; a form is not sent again, and has changed
    /// nothing, since every form asks the loop first.
    /// </summary>
    private Task BusyAsync(HttpContext context)
    {
        var words = _guard.VisitOf(context).Words;
        var (headline, remedy) = parts.Loop.IsJudgingAgain
            ? (words.Say("fault.judging"), words.Say("fault.judging.do"))
            : (words.Say("fault.stands"), words.Say("fault.stands.do"));
        context.Response.Headers.RetryAfter = AskAgain;
        if (!HttpMethods.IsGet(context.Request.Method))
        {
            remedy += " " + words.Say("fault.store.do");
        }
        else if (!Problems.IsForPrograms(context.Request))
        {
            // By the Refresh header of the HTML standard, which needs no script.
            context.Response.Headers["Refresh"] = AskAgain;
            remedy += " " + words.Say("fault.again");
        }

        return _guard.FaultAsync(context, StatusCodes.Status503ServiceUnavailable, headline, remedy);
    }

    /// <summary>The plan is made on the loop's thread, and put into words beside it.</summary>
    private async Task SprayingAsync(HttpContext context)
    {
        var visit = _guard.VisitOf(context);
        var scene = await _ask.AskAsync(now => SprayingPage.Look(visit, now), context.RequestAborted).ConfigureAwait(false);
        await context.SendAsync(Pages.Spraying.Create(SprayingPage.Of(scene))).ConfigureAwait(false);
    }

    /// <summary>The look takes a few seconds; who asks while it lasts waits for it, a while.</summary>
    private async Task SetUpAsync(HttpContext context)
    {
        var visit = _guard.VisitOf(context);
        var leaf = await _ask.AskAsync(now => Leaves.Of(visit, now, Chapter.SetUp), context.RequestAborted).ConfigureAwait(false);
        var look = _looks?.LatestAsync();
        if (look is not null)
            await Task.WhenAny(look, Task.Delay(LookPatience, time, context.RequestAborted)).ConfigureAwait(false);
        var isThere = look is { IsCompleted: true };
        var found = isThere ? await look!.ConfigureAwait(false) : null;
        await context.SendAsync(Pages.SetUp.Create(SetUpPage.Of(visit, leaf, found, look is not null, _ear))).ConfigureAwait(false);
    }

    private async Task AnswerAsync(HttpContext context)
    {
        var form = await context.Request.ReadFormAsync(context.RequestAborted).ConfigureAwait(false);
        var visit = _guard.VisitOf(context);
        // By the garden's clock: in fast time the computer's is another.
        var now = await _ask.AskToWriteAsync(garden => garden.At, context.RequestAborted).ConfigureAwait(false);
        var until = AlertPage.UntilOf(form["answer"] == "later" ? form["later"].ToString() : null, visit, now);
        if (parts.Books.Answer(Id(context), until, now).Reason is { } unknown)
            await _guard.FaultAsync(
                context, StatusCodes.Status404NotFound, Sentence.Whole(visit.Words.Say(unknown)), visit.Words.Say("fault.not-here.do"))
                .ConfigureAwait(false);
        else
            context.GoTo(AlertPage.PathOf(visit, Id(context)));
    }

    private Task NotFoundAsync(HttpContext context) => Problems.IsForPrograms(context.Request)
        ? Problems.SendAsync(context, StatusCodes.Status404NotFound, "There is no such address; /api/openapi.json names all there are.")
        : FaultAsync(context, StatusCodes.Status404NotFound, "fault.not-here");

    private Task FaultAsync(HttpContext context, int status, string key) => _guard.FaultAsync(context, status, key);
}
