using System.Text;
using System.Text.Json;
using System.Text.Json.Serialization.Metadata;
using BackyardSentinel.Contract;
using BackyardSentinel.Delivery;
using BackyardSentinel.Garden;
using BackyardSentinel.Live;
using BackyardSentinel.Planning;
using BackyardSentinel.Sensors;
using BackyardSentinel.Storage;
using BackyardSentinel.Wording;

namespace BackyardSentinel.Web.Api;

/// <summary>What programs ask: the garden as JSON, changes as they come, figures, health.</summary>
/// <param name="parts">What is answered from.</param>
/// <param name="ask">Asks the loop, with patience.</param>
/// <param name="guard">Knows whose visit it is.</param>
/// <param name="time">The clock.</param>
internal sealed class ApiRoutes(PageParts parts, LoopQuestion ask, Guard guard, TimeProvider time)
{
    /// <summary>Maps them.</summary>
    public void Map(IEndpointRouteBuilder app)
    {
        app.MapLook("/api/garden", async context =>
            await JsonAsync(
                context, await ask.AskAsync(HowItStands, context.RequestAborted).ConfigureAwait(false), ContractJson.Default.GardenDocument)
                .ConfigureAwait(false));
        app.MapLook("/api/journal", context => JsonAsync(
            context,
            new JournalDocument([.. JournalRow.Standing(parts.Books.WithJournal(book => book.Rows())).Select(JournalLine.Of)]),
            ContractJson.Default.JournalDocument));
        app.MapLook("/api/plan", async context =>
            await BytesAsync(
                context, await PlanAsync(context, PlanJson.Write).ConfigureAwait(false), "application/json").ConfigureAwait(false));
        app.MapLook("/calendar.ics", async context => await BytesAsync(
                context,
                await PlanAsync(context, result => PlanCalendar.Write(result, parts.Words.Page(result.Site.Zone))).ConfigureAwait(false),
                "text/calendar; charset=utf-8")
            .ConfigureAwait(false));
        app.MapPost("/api/journal", new JournalWriting(parts, ask, guard).WriteAsync);
        app.MapPost("/api/answer", AnswerAsync);
        app.MapGet("/api/changes", new Changes(ask, time).StreamAsync);
        app.MapLook("/api/openapi.json", context => BytesAsync(context, PageFiles.Read("openapi.json"), "application/json"));
        app.MapLook("/metrics", async context => await BytesAsync(
                context,
                await ask.AskAsync(now => Metrics.Write(now, parts), context.RequestAborted).ConfigureAwait(false),
                "application/openmetrics-text; version=1.0.0; charset=utf-8")
            .ConfigureAwait(false));
        app.MapLook("/health", context =>
        {
            var isWell = parts.IsWell();
            context.Response.StatusCode = isWell ? StatusCodes.Status200OK : StatusCodes.Status503ServiceUnavailable;
            return BytesAsync(context, isWell ? "well\n"u8.ToArray() : "not well\n"u8.ToArray(), "text/plain; charset=utf-8");
        });
    }

    private static Task JsonAsync<T>(HttpContext context, T document, JsonTypeInfo<T> type) =>
        BytesAsync(context, JsonSerializer.SerializeToUtf8Bytes(document, type), "application/json");

    private static async Task BytesAsync(HttpContext context, byte[] bytes, string type)
    {
        context.Response.ContentType = type;
        context.Response.ContentLength = bytes.Length;
        await context.Response.Body.WriteAsync(bytes, context.RequestAborted).ConfigureAwait(false);
    }

    private async Task<byte[]> PlanAsync(HttpContext context, Func<PlanResult, string> write)
    {
        var site = guard.VisitOf(context).Site;
        return Encoding.UTF8.GetBytes(write(await ask.AskAsync(now => Plan(site, now), context.RequestAborted).ConfigureAwait(false)));
    }

    private PlanResult Plan(Site site, GardenNow now)
    {
        var (request, plan) = now.PlanOf(site.Id);
        return new PlanResult(
            parts.Garden.Name, site, now.Watches[site.Id], request, plan, UnfitHours.Of(request, plan), null,
                [.. request.Ledger.Findings.Select(one => one.Text)]);
    }

    private GardenDocument HowItStands(GardenNow now) => new(
        now.At,
        [
            .. parts.Garden.Sites.Select(site => new SiteNow(
                site.Id,
                TopicJson.WeatherOf(now.Watches[site.Id]),
                Leaves.Silent(now, site),
                now.Watches[site.Id].Refusing.Count + now.Watches[site.Id].Doubts.Count,
                [
                    .. site.Plantings.Select(planting =>
                        new PlantingNow(planting.Id, planting.Called, TopicJson.RiskOf(now.Watches[site.Id], planting))),
                ])),
        ]);

    private async Task AnswerAsync(HttpContext context)
    {
        using var body = new MemoryStream();
        await context.Request.Body.CopyToAsync(body, context.RequestAborted).ConfigureAwait(false);
        var (answer, reason) = AnswerPayload.Read(body.ToArray());
        if (answer is null)
        {
            await Problems.SendAsync(
                context, StatusCodes.Status400BadRequest, reason ?? "The answer cannot be read.").ConfigureAwait(false);
            return;
        }

        var now = await ask.AskToWriteAsync(garden => garden.At, context.RequestAborted).ConfigureAwait(false);
        if (parts.Books.Answer(answer.Episode, answer.For is { } span ? now + span : null, now).Reason is { } unknown)
            await Problems.SendAsync(context, StatusCodes.Status404NotFound, Sentence.Whole(unknown.Text)).ConfigureAwait(false);
        else
            context.Response.StatusCode = StatusCodes.Status204NoContent;
    }
}
