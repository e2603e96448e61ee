using System.Collections.Concurrent;
using System.IO.Compression;
using BackyardSentinel.Weather;
using Microsoft.AspNetCore.Http;
using Serilog;
using Serilog.Core;
using Serilog.Events;

namespace BackyardSentinel.Forecasts;

/// <summary>
/// Against a real web server, by a clock that moves only when told. What headers mean: RFC 9110 and RFC 9111, from memory.
/// </summary>
public sealed class ForecastPollerTests : IDisposable
{
    private const string Days = """[{"time":"2027-02-01T06:00Z","t":4},{"time":"2027-02-01T07:00Z","t":5}]""";

    private static readonly DateTimeOffset Now = new(2027, 2, 1, 5, 30, 0, TimeSpan.Zero);

    private readonly Clock _time = new();
    private readonly LinesSink _said = new();
    private readonly Logger _log;
    private readonly List<Forecast> _taken = [];
    private readonly List<HttpClient> _clients = [];
    private double _dice = 0.5;

    public ForecastPollerTests() => _log = new LoggerConfiguration().WriteTo.Sink(_said).CreateLogger();

    private static CancellationToken Ct => TestContext.Current.CancellationToken;

    public void Dispose()
    {
        _log.Dispose();
        _clients.ForEach(client => client.Dispose());
    }

    private ForecastPoller Poller(
        Uri url,
        TimeSpan? every = null,
        bool allowPrivate = true,
        bool ownForm = false,
        ForecastMemory? memory = null)
    {
        var client = new HttpClient(ForecastPoller.CreateHandler(allowPrivate)) { Timeout = Timeout.InfiniteTimeSpan };
        _clients.Add(client);
        var map = new ForecastMap
        {
            Shape = ForecastShape.List,
            Source = "Weir Office",
            Quantities = [new ForecastField(ForecastQuantity.Temperature, "t")],
        };
        return new ForecastPoller(
            client,
            new ForecastSource(url, "grower@garden.example", every) { Headers = [("X-Key", "k3y")] },
            ownForm ? null : map,
            (forecast, _) =>
            {
                _taken.Add(forecast);
                return ValueTask.CompletedTask;
            },
            _time,
            () => _dice,
            _log,
            memory);
    }

    /// <summary>
    /// Lets the clock run while the poller waits for it; it stands still while the server is at work, unless told otherwise.
    /// </summary>
    private async Task<TimeSpan> Poll(ForecastPoller poller, ForecastServer server, bool whileBusy = false)
    {
        var polling = poller.PollAsync(Ct);
        while (await Task.WhenAny(polling, Task.Delay(50, Ct)) != polling)
        {
            if (whileBusy || !server.IsBusy)
                _time.Advance(TimeSpan.FromSeconds(1));
        }

        return await polling;
    }

    [Fact]
    public async Task A_forecast_is_fetched_with_name_and_contact()
    {
        await using var server = await ForecastServer.StartAsync(ForecastServer.Body(Days));

        var wait = await Poller(server.Url).PollAsync(Ct);

        Assert.Equal(2, Assert.Single(_taken).Hours.Count);
        Assert.Equal(Now, _taken[0].Issued);
        Assert.Matches(@"^backyard-sentinel/\d+\.\d+\.\d+ \(grower@garden\.example\)$", Assert.Single(server.Asked).UserAgent.ToString());
        Assert.Equal(TimeSpan.FromMinutes(60), wait);
    }

    [Theory]
    [InlineData(60, 0, 48)]
    [InlineData(60, 0.999999, 72)]
    [InlineData(30, 0, 30)]
    [InlineData(30, 0.999999, 36)]
    public async Task Requests_are_spread_by_a_fifth_and_never_less_than_half_an_hour_apart(int every, double dice, double expected)
    {
        await using var server = await ForecastServer.StartAsync(ForecastServer.Body(Days));
        _dice = dice;

        Assert.Equal(expected, (await Poller(server.Url, TimeSpan.FromMinutes(every)).PollAsync(Ct)).TotalMinutes, 0.01);
    }

    [Fact]
    public async Task What_has_not_changed_is_not_sent_again()
    {
        await using var server = await ForecastServer.StartAsync(
            ForecastServer.Body(Days, ("ETag", "\"v7\""), ("Last-Modified", "Mon, 01 Feb 2027 05:00:00 GMT")),
            ForecastServer.Status(304),
            ForecastServer.Status(304));
        var poller = Poller(server.Url);

        for (var i = 0; i < 3; i++)
            await poller.PollAsync(Ct);

        Assert.Single(_taken);
        Assert.Empty(_said.Lines);
        Assert.Equal(["", "\"v7\"", "\"v7\""], server.Asked.Select(headers => headers.IfNoneMatch.ToString()));
        Assert.Equal(
            ["", "Mon, 01 Feb 2027 05:00:00 GMT", "Mon, 01 Feb 2027 05:00:00 GMT"],
            server.Asked.Select(headers => headers.IfModifiedSince.ToString()));
    }

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

        Assert.Equal(2, Assert.Single(_taken).Hours.Count);
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

        Assert.Empty(_taken);
        Assert.Equal(4, server.Asked.Count);
        Assert.Contains(_said.Lines, line => line.Contains("is not packed as it says", StringComparison.Ordinal));
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

        Assert.Contains(_said.Lines, line => line.Contains("larger than 1 MiB", StringComparison.Ordinal));
    }

    [Fact]
    public async Task A_program_that_starts_again_and_again_asks_no_sooner_and_with_the_marks_it_had()
    {
        await using var server = await ForecastServer.StartAsync(
            ForecastServer.Body(
                Days,
                ("ETag", "\"v7\""),
                ("Expires", "Mon, 01 Feb 2027 08:30:00 GMT"),
                ("Date", "Mon, 01 Feb 2027 05:30:00 GMT")),
            ForecastServer.Status(304));
        (string? ETag, DateTimeOffset? Modified, DateTimeOffset? NotBefore) kept = default;
        for (var start = 0; start < 5; start++)
        {
            using var stop = new CancellationTokenSource();
            var running = Poller(
                    server.Url,
                    memory: new ForecastMemory(
                        kept.ETag,
                        kept.Modified,
                        kept.NotBefore,
                        (tag, modified, until) => kept = (tag, modified, until)))
                .RunAsync(stop.Token);
            if (start == 0)
                await Mqtt.Until.TrueAsync(() => kept.ETag is not null, "the first answer");
            await stop.CancelAsync();
            await running;
        }

        Assert.Single(server.Asked);
        // Three hours by the source's own clock, and up to a minute so that not everybody comes at its end.
        Assert.InRange(kept.NotBefore!.Value, Now.AddHours(3), Now.AddHours(3).AddMinutes(1));
        _time.Advance(TimeSpan.FromHours(3.1));
        using var later = new CancellationTokenSource();
        var again = Poller(server.Url, memory: new ForecastMemory(kept.ETag, kept.Modified, kept.NotBefore, (_, _, _) => { }))
            .RunAsync(later.Token);
        await Mqtt.Until.TrueAsync(() => server.Asked.Count == 2, "the second request");
        Assert.Equal("\"v7\"", server.Asked.Last().IfNoneMatch.ToString());
        await later.CancelAsync();
        await again;
    }

    [Fact]
    public async Task A_moment_kept_by_a_clock_that_was_wrong_holds_nobody_back()
    {
        await using var server = await ForecastServer.StartAsync(ForecastServer.Body(Days));
        using var stop = new CancellationTokenSource();
        var running = Poller(server.Url, memory: new ForecastMemory(null, null, Now.AddYears(2), (_, _, _) => { })).RunAsync(stop.Token);
        await Mqtt.Until.TrueAsync(() => server.Asked.Count == 1, "the request");
        await stop.CancelAsync();
        await running;
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
        Assert.Contains($"({code})", Assert.Single(_said.Lines), StringComparison.Ordinal);
    }

    [Fact]
    public async Task Trouble_that_passes_is_waited_out()
    {
        await using var server = await ForecastServer.StartAsync(
            ForecastServer.Status(500),
            ForecastServer.Status(502),
            ForecastServer.Body(Days));

        await Poll(Poller(server.Url), server);

        Assert.Single(_taken);
        Assert.Equal(3, server.Asked.Count);
        Assert.Empty(_said.Lines);
        Assert.InRange(_time.GetUtcNow() - Now, TimeSpan.FromSeconds(10), TimeSpan.FromMinutes(2));
    }

    [Fact]
    public async Task Trouble_that_lasts_is_told_once_and_so_is_its_end()
    {
        await using var server = await ForecastServer.StartAsync([
            .. Enumerable.Repeat(ForecastServer.Status(500), 8),
            ForecastServer.Body(Days),
        ]);
        var poller = Poller(server.Url);

        for (var i = 0; i < 3; i++)
            await Poll(poller, server);

        Assert.Single(_taken);
        Assert.Equal(2, _said.Lines.Count);
        Assert.Contains("trouble of its own (500)", _said.Lines[0], StringComparison.Ordinal);
        Assert.Contains("is back", _said.Lines[1], StringComparison.Ordinal);
    }

    [Fact]
    public async Task A_source_that_does_not_answer_is_given_up()
    {
        await using var server = await ForecastServer.StartAsync(context => Task.Delay(Timeout.Infinite, context.RequestAborted));

        await Poll(Poller(server.Url), server, whileBusy: true);

        Assert.Empty(_taken);
        Assert.Equal(4, server.Asked.Count);
        Assert.Contains("within 20 seconds", Assert.Single(_said.Lines), StringComparison.Ordinal);
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

        Assert.Single(_taken);
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
        Assert.Contains("larger than 1 MiB", Assert.Single(_said.Lines), StringComparison.Ordinal);
    }

    [Theory]
    [InlineData(0, 1)]
    [InlineData(1, 0)]
    public async Task A_body_of_one_MiB_is_the_largest_that_is_read(int more, int taken)
    {
        await using var server = await ForecastServer.StartAsync(ForecastServer.Body(Days.PadRight(ForecastReader.MaxBytes + more)));

        await Poller(server.Url).PollAsync(Ct);

        Assert.Equal(taken, _taken.Count);
        Assert.Equal(1 - taken, _said.Lines.Count(line => line.Contains("larger than 1 MiB", StringComparison.Ordinal)));
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

        Assert.Contains("web page, not a forecast", _said.Lines[0], StringComparison.Ordinal);
        Assert.Single(_taken);
        Assert.All(server.Asked, headers => Assert.Empty(headers.IfNoneMatch.ToString()));
    }

    [Fact]
    public async Task A_source_may_write_our_own_form()
    {
        await using var server = await ForecastServer.StartAsync(
            ForecastServer.Body(
                """{"source":"Neighbour","issued":"2027-02-01T05:00:00Z","hours":[{"start":"2027-02-01T06:00:00Z","rain_mm":1}]}"""));

        await Poller(server.Url, ownForm: true).PollAsync(Ct);

        Assert.Equal("Neighbour", Assert.Single(_taken).Source);
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
        var line = Assert.Single(_said.Lines);
        Assert.Contains(because, line, StringComparison.Ordinal);
        Assert.DoesNotContain("hush", line, StringComparison.Ordinal);
    }

    [Fact]
    public async Task An_address_of_the_own_network_is_refused_unless_allowed()
    {
        await using var server = await ForecastServer.StartAsync(ForecastServer.Body(Days));

        await Poller(server.Url, allowPrivate: false).PollAsync(Ct);

        Assert.Empty(server.Asked);
        Assert.Contains("own network", Assert.Single(_said.Lines), StringComparison.Ordinal);
    }

    [Fact]
    public async Task It_asks_again_when_its_time_has_come_and_stops_when_asked()
    {
        await using var server = await ForecastServer.StartAsync(ForecastServer.Body(Days));
        using var stop = CancellationTokenSource.CreateLinkedTokenSource(Ct);
        var running = Poller(server.Url).RunAsync(stop.Token);

        Task Waits(int times) => Until.TrueAsync(
            () => _time.Waits.Count(wait => wait == TimeSpan.FromHours(1)) == times,
            $"it waits an hour for the {times}. time");

        await Waits(1);
        Assert.Single(server.Asked);
        _time.Advance(TimeSpan.FromMinutes(59));
        _time.Advance(TimeSpan.FromMinutes(1));
        await Waits(2);

        await stop.CancelAsync();
        await running;
        Assert.Equal(2, server.Asked.Count);
        Assert.Equal(2, _taken.Count);
    }

    [Theory]
    [InlineData("ftp://garden.example/", "me", 60)]
    [InlineData("http://garden.example/", "", 60)]
    [InlineData("http://garden.example/", "me\r\nX: y", 60)]
    [InlineData("http://garden.example/", "me", 29)]
    [InlineData("http://garden.example/", "me", 1441)]
    public void A_source_is_checked_when_built(string url, string contact, int minutes) =>
        Assert.Throws<ArgumentException>(() => new ForecastSource(new Uri(url), contact, TimeSpan.FromMinutes(minutes)));

    /// <summary>A clock that keeps for how long it was asked to wake somebody.</summary>
    private sealed class Clock() : FakeTimeProvider(Now)
    {
        public ConcurrentQueue<TimeSpan> Waits { get; } = [];

        public override ITimer CreateTimer(TimerCallback callback, object? state, TimeSpan dueTime, TimeSpan period)
        {
            Waits.Enqueue(dueTime);
            return base.CreateTimer(callback, state, dueTime, period);
        }
    }

    private sealed class LinesSink : ILogEventSink
    {
        public List<string> Lines { get; } = [];

        public void Emit(LogEvent logEvent) => Lines.Add(logEvent.RenderMessage(System.Globalization.CultureInfo.InvariantCulture));
    }
}
