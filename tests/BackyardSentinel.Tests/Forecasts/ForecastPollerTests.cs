namespace BackyardSentinel.Forecasts;

/// <summary>
/// When a source is asked: against a real web server, by a clock that moves only when told. What headers mean: RFC 9110 and RFC 9111,
/// from memory.
/// </summary>
public sealed class ForecastPollerTests : ForecastPollerBench
{
    [Fact]
    public async Task A_forecast_is_fetched_with_name_and_contact()
    {
        await using var server = await ForecastServer.StartAsync(ForecastServer.Body(Days));

        var wait = await Poller(server.Url).PollAsync(Ct);

        Assert.Equal(2, Assert.Single(Taken).Hours.Count);
        Assert.Equal(Now, Taken[0].Issued);
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
        Dice = dice;

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

        Assert.Single(Taken);
        Assert.Empty(Said.Lines);
        Assert.Equal(["", "\"v7\"", "\"v7\""], server.Asked.Select(headers => headers.IfNoneMatch.ToString()));
        Assert.Equal(
            ["", "Mon, 01 Feb 2027 05:00:00 GMT", "Mon, 01 Feb 2027 05:00:00 GMT"],
            server.Asked.Select(headers => headers.IfModifiedSince.ToString()));
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
        Time.Advance(TimeSpan.FromHours(3.1));
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

    [Fact]
    public async Task Trouble_that_passes_is_waited_out()
    {
        await using var server = await ForecastServer.StartAsync(
            ForecastServer.Status(500),
            ForecastServer.Status(502),
            ForecastServer.Body(Days));

        await Poll(Poller(server.Url), server);

        Assert.Single(Taken);
        Assert.Equal(3, server.Asked.Count);
        Assert.Empty(Said.Lines);
        Assert.InRange(Time.GetUtcNow() - Now, TimeSpan.FromSeconds(10), TimeSpan.FromMinutes(2));
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

        Assert.Single(Taken);
        Assert.Equal(2, Said.Lines.Count);
        Assert.Contains("trouble of its own (500)", Said.Lines[0], StringComparison.Ordinal);
        Assert.Contains("is back", Said.Lines[1], StringComparison.Ordinal);
    }

    [Fact]
    public async Task A_source_that_does_not_answer_is_given_up()
    {
        await using var server = await ForecastServer.StartAsync(context => Task.Delay(Timeout.Infinite, context.RequestAborted));

        await Poll(Poller(server.Url), server, whileBusy: true);

        Assert.Empty(Taken);
        Assert.Equal(4, server.Asked.Count);
        Assert.Contains("within 20 seconds", Assert.Single(Said.Lines), StringComparison.Ordinal);
    }

    [Fact]
    public async Task An_address_of_the_own_network_is_refused_unless_allowed()
    {
        await using var server = await ForecastServer.StartAsync(ForecastServer.Body(Days));

        await Poller(server.Url, allowPrivate: false).PollAsync(Ct);

        Assert.Empty(server.Asked);
        Assert.Contains("own network", Assert.Single(Said.Lines), StringComparison.Ordinal);
    }

    [Fact]
    public async Task It_asks_again_when_its_time_has_come_and_stops_when_asked()
    {
        await using var server = await ForecastServer.StartAsync(ForecastServer.Body(Days));
        using var stop = CancellationTokenSource.CreateLinkedTokenSource(Ct);
        var running = Poller(server.Url).RunAsync(stop.Token);

        Task Waits(int times) => Until.TrueAsync(
            () => Time.Waits.Count(wait => wait == TimeSpan.FromHours(1)) == times,
            $"it waits an hour for the {times}. time");

        await Waits(1);
        Assert.Single(server.Asked);
        Time.Advance(TimeSpan.FromMinutes(59));
        Time.Advance(TimeSpan.FromMinutes(1));
        await Waits(2);

        await stop.CancelAsync();
        await running;
        Assert.Equal(2, server.Asked.Count);
        Assert.Equal(2, Taken.Count);
    }

    [Theory]
    [InlineData("ftp://garden.example/", "me", 60)]
    [InlineData("http://garden.example/", "", 60)]
    [InlineData("http://garden.example/", "me\r\nX: y", 60)]
    [InlineData("http://garden.example/", "me", 29)]
    [InlineData("http://garden.example/", "me", 1441)]
    public void A_source_is_checked_when_built(string url, string contact, int minutes) =>
        Assert.Throws<ArgumentException>(() => new ForecastSource(new Uri(url), contact, TimeSpan.FromMinutes(minutes)));
}
