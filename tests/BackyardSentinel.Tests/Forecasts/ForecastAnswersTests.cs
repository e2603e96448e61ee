using System.IO.Compression;
using Microsoft.AspNetCore.Http;

namespace BackyardSentinel.Forecasts;

/// <summary>
/// What a source answers: against a real web server, by a clock that moves only when told. What headers mean: RFC 9110 and RFC 9111,
/// from memory.
/// </summary>
public sealed class ForecastAnswersTests : ForecastPollerBench
{
    [Theory]
    [InlineData("gzip")]
    [InlineData("br")]
    [InlineData("deflate")]
    public async Task A_compressed_answer_is_understood_also_unasked(string way)
    {
        await using var server = await ForecastServer.StartAsync(async context =>
        {
            context.Response.Headers.ContentEncoding = way;
            using var packed = new MemoryStream();
            using (
                Stream pack = way switch
                {
                    "gzip" => new GZipStream(packed, CompressionLevel.Fastest, leaveOpen: true),
                    "br" => new BrotliStream(packed, CompressionLevel.Fastest, leaveOpen: true),
                    // RFC 9110, 8.4.1.2: "deflate" is the zlib format.
                    _ => new ZLibStream(packed, CompressionLevel.Fastest, leaveOpen: true),
                })
                pack.Write(System.Text.Encoding.UTF8.GetBytes(Days));
            await context.Response.Body.WriteAsync(packed.ToArray(), Ct);
        });

        await Poller(server.Url).PollAsync(Ct);

        Assert.Equal(2, Assert.Single(Taken).Hours.Count);
        Assert.Contains("gzip", Assert.Single(server.Asked).AcceptEncoding.ToString(), StringComparison.Ordinal);
        Assert.Equal("k3y", server.Asked.First()["X-Key"]);
    }

    [Theory]
    [InlineData("gzip")]
    [InlineData("br")]
    [InlineData("deflate")]
    public async Task An_answer_that_is_not_packed_as_it_says_is_refused_and_asked_for_again(string way)
    {
        await using var server = await ForecastServer.StartAsync(async context =>
        {
            context.Response.Headers.ContentEncoding = way;
            await context.Response.WriteAsync(Days, Ct);
        });

        await Poll(Poller(server.Url), server);

        Assert.Empty(Taken);
        Assert.Equal(4, server.Asked.Count);
        Assert.Contains(Said.Lines, line => line.Contains("is not packed as it says", StringComparison.Ordinal));
    }

    [Fact]
    public async Task What_unpacks_to_more_than_is_read_is_refused()
    {
        await using var server = await ForecastServer.StartAsync(async context =>
        {
            context.Response.Headers.ContentEncoding = "gzip";
            using var packed = new MemoryStream();
            using (var pack = new GZipStream(packed, CompressionLevel.Fastest, leaveOpen: true))
                pack.Write(new byte[64 * 1024 * 1024]);
            await context.Response.Body.WriteAsync(packed.ToArray(), Ct);
        });

        await Poller(server.Url).PollAsync(Ct);

        Assert.Contains(Said.Lines, line => line.Contains("larger than 1 MiB", StringComparison.Ordinal));
    }

    [Theory]
    [InlineData("Expires", "Mon, 01 Feb 2027 09:00:00 GMT", 180.5)] // by the source's own Date, three hours on
    [InlineData("Expires", "Mon, 01 Feb 2027 06:10:00 GMT", 60)] // shorter than ours
    [InlineData("Expires", "0", 60)]
    [InlineData("Cache-Control", "max-age=7200", 120.5)]
    [InlineData("Cache-Control", "max-age=9999999", 1440)]
    public async Task The_source_says_how_long_its_forecast_holds(string name, string value, double minutes)
    {
        await using var server = await ForecastServer.StartAsync(
            ForecastServer.Body(Days, ("Date", "Mon, 01 Feb 2027 06:00:00 GMT"), (name, value)));

        Assert.Equal(minutes, (await Poller(server.Url).PollAsync(Ct)).TotalMinutes, 1e-6);
    }

    [Theory]
    [InlineData(429, "7200", 120.5)]
    [InlineData(503, "Mon, 01 Feb 2027 09:00:00 GMT", 180.5)]
    [InlineData(429, "5", 60)]
    [InlineData(429, "99999999", 1440)]
    public async Task A_source_that_wants_to_be_left_alone_is(int code, string after, double minutes)
    {
        await using var server = await ForecastServer.StartAsync(
            ForecastServer.Status(code, ("Date", "Mon, 01 Feb 2027 06:00:00 GMT"), ("Retry-After", after)));

        Assert.Equal(minutes, (await Poller(server.Url).PollAsync(Ct)).TotalMinutes, 1e-6);
        Assert.Single(server.Asked);
        Assert.Contains($"({code})", Assert.Single(Said.Lines), StringComparison.Ordinal);
    }

    [Fact]
    public async Task A_body_that_stops_halfway_is_given_up_too()
    {
        await using var server = await ForecastServer.StartAsync(
            async context =>
            {
                await context.Response.WriteAsync("[{", Ct);
                await context.Response.Body.FlushAsync(Ct);
                await Task.Delay(Timeout.Infinite, context.RequestAborted);
            },
            ForecastServer.Body(Days));

        await Poll(Poller(server.Url), server, whileBusy: true);

        Assert.Single(Taken);
        Assert.Equal(2, server.Asked.Count);
    }

    [Fact]
    public async Task A_body_without_end_is_cut_off()
    {
        await using var server = await ForecastServer.StartAsync(async context =>
        {
            var part = new string(' ', 64 * 1024);
            while (!context.RequestAborted.IsCancellationRequested)
                await context.Response.WriteAsync(part, context.RequestAborted);
        });

        await Poller(server.Url).PollAsync(Ct);

        Assert.Single(server.Asked);
        Assert.Contains("larger than 1 MiB", Assert.Single(Said.Lines), StringComparison.Ordinal);
    }

    [Theory]
    [InlineData(0, 1)]
    [InlineData(1, 0)]
    public async Task A_body_of_one_MiB_is_the_largest_that_is_read(int more, int taken)
    {
        await using var server = await ForecastServer.StartAsync(ForecastServer.Body(Days.PadRight(ForecastReader.MaxBytes + more)));

        await Poller(server.Url).PollAsync(Ct);

        Assert.Equal(taken, Taken.Count);
        Assert.Equal(1 - taken, Said.Lines.Count(line => line.Contains("larger than 1 MiB", StringComparison.Ordinal)));
    }

    [Fact]
    public async Task A_web_page_is_told_as_such_and_its_mark_is_not_kept()
    {
        await using var server = await ForecastServer.StartAsync(
            ForecastServer.Body("<html><title>Welcome</title>", ("ETag", "\"page\"")),
            ForecastServer.Body(Days));
        var poller = Poller(server.Url);

        await poller.PollAsync(Ct);
        await poller.PollAsync(Ct);

        Assert.Contains("web page, not a forecast", Said.Lines[0], StringComparison.Ordinal);
        Assert.Single(Taken);
        Assert.All(server.Asked, headers => Assert.Empty(headers.IfNoneMatch.ToString()));
    }

    [Fact]
    public async Task A_source_may_write_our_own_form()
    {
        await using var server = await ForecastServer.StartAsync(
            ForecastServer.Body(
                """{"source":"Neighbour","issued":"2027-02-01T05:00:00Z","hours":[{"start":"2027-02-01T06:00:00Z","rain_mm":1}]}"""));

        await Poller(server.Url, ownForm: true).PollAsync(Ct);

        Assert.Equal("Neighbour", Assert.Single(Taken).Source);
    }

    [Theory]
    [InlineData(302, "redirects to elsewhere.example (302)")]
    [InlineData(403, "refuses the request (403)")]
    [InlineData(404, "nothing at the address (404)")]
    [InlineData(204, "status 204")]
    [InlineData(304, "status 304")] // although nothing was known
    public async Task Other_answers_are_told_and_not_tried_again(int code, string because)
    {
        await using var server = await ForecastServer.StartAsync(
            ForecastServer.Status(code, ("Location", "https://elsewhere.example/x?key=hush"))
        );

        await Poller(server.Url).PollAsync(Ct);

        Assert.Single(server.Asked);
        var line = Assert.Single(Said.Lines);
        Assert.Contains(because, line, StringComparison.Ordinal);
        Assert.DoesNotContain("hush", line, StringComparison.Ordinal);
    }
}
