namespace BackyardSentinel.Web.Api;

/// <summary>
/// Server-sent events (WHATWG HTML, 9.2): tells open pages when something new has been judged, so that they look again. Few may
/// listen at once; the others look when they are looked at.
/// </summary>
/// <param name="ask">Asks the loop.</param>
/// <param name="time">The clock.</param>
internal sealed class Changes(LoopQuestion ask, TimeProvider time)
{
    private const int MostListeners = 20;
    private static readonly TimeSpan LookEvery = TimeSpan.FromSeconds(2), SpeakEvery = TimeSpan.FromSeconds(20);
    private int _listeners;

    /// <summary>Speaks until the listener has gone.</summary>
    public async Task StreamAsync(HttpContext context)
    {
        if (Interlocked.Increment(ref _listeners) > MostListeners)
        {
            Interlocked.Decrement(ref _listeners);
            await Problems.SendAsync(
                context, StatusCodes.Status503ServiceUnavailable, "Too many pages listen at once; ask again later.").ConfigureAwait(false);
            return;
        }

        try
        {
            await SpeakAsync(context, context.RequestAborted).ConfigureAwait(false);
        }
        catch (OperationCanceledException)
        {
            // The listener has gone, or the service stops.
        }
        finally
        {
            Interlocked.Decrement(ref _listeners);
        }
    }

    private async Task SpeakAsync(HttpContext context, CancellationToken ct)
    {
        context.Response.ContentType = "text/event-stream";
        await context.Response.WriteAsync("retry: 10000\n\n", ct).ConfigureAwait(false);
        await context.Response.Body.FlushAsync(ct).ConfigureAwait(false);
        var seen = await MarkAsync(ct).ConfigureAwait(false);
        var spoke = time.GetTimestamp();
        while (true)
        {
            await Task.Delay(LookEvery, time, ct).ConfigureAwait(false);
            var mark = await MarkAsync(ct).ConfigureAwait(false);
            var changed = mark is not null && mark != seen;
            if (!changed && time.GetElapsedTime(spoke) < SpeakEvery)
                continue;
            // A word now and then, so that a listener who has gone is noticed.
            await context.Response.WriteAsync(changed ? "event: changed\ndata: \n\n" : ": still here\n\n", ct).ConfigureAwait(false);
            await context.Response.Body.FlushAsync(ct).ConfigureAwait(false);
            (seen, spoke) = (mark ?? seen, time.GetTimestamp());
        }
    }

    /// <summary>What a page shows changes when this does; <c>null</c>: nobody answers.</summary>
    private async Task<string?> MarkAsync(CancellationToken ct)
    {
        try
        {
            return await ask.AskAsync(
                    now => string.Join(
                        ' ',
                        now.Watches.Values.SelectMany(
                            watch => watch.Plantings.Select(planting => $"{(int)planting.Risk.Level}{planting.Risk.Cover}"))
                            .Concat(now.Watches.Values.Select(watch => $"{watch.IntervalsJudged}/{watch.Refusing.Count}"))
                            .Append($"{now.Journal.Count} {now.Troubles.Count} {now.Forecast?.Issued.UtcTicks}")),
                    ct)
                .ConfigureAwait(false);
        }
        catch (TimeoutException)
        {
            return null;
        }
    }
}
