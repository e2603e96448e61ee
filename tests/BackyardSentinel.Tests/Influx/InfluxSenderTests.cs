namespace BackyardSentinel.Influx;

/// <summary>What becomes of points by what a server answers.</summary>
public sealed class InfluxSenderTests
{
    private static CancellationToken Ct => TestContext.Current.CancellationToken;

    /// <summary>A web server with nothing to say is no InfluxDB either.</summary>
    [Theory]
    [InlineData(200)]
    [InlineData(202)]
    public async Task An_answer_without_a_word_is_not_the_one_of_an_InfluxDB(int status)
    {
        await using var peer = await InfluxPeer.StartAsync();
        peer.Fault = () => status;
        peer.FaultMessage = "";
        using var server = new InfluxServer(peer.Address);

        var answer = await server.WriteAsync(["a b=1 1"], Ct);

        Assert.Equal((InfluxOutcome.Later, $"{status}, where an InfluxDB answers 204"), (answer.Outcome, answer.Reason.Split(':')[0]));
    }

    [Theory]
    [InlineData(1106, 55)]
    [InlineData(600, 20)]
    [InlineData(40, 2)]
    public async Task Of_a_batch_with_many_bad_points_each_good_one_arrives(int points, int each)
    {
        using var weeks = new WetWeeks();
        await using var peer = await InfluxPeer.StartAsync();
        peer.Wrong = ",kind=bad";
        var (sender, _) = Sender(weeks, peer, out var time);
        List<string> lines = [.. Enumerable.Range(0, points).Select(n => $"a{(n % each == 0 ? ",kind=bad" : "")} b={n} {n}")];
        await sender.SendAsync(lines, Ct);

        Assert.Equal(lines.Count(line => !line.Contains("bad", StringComparison.Ordinal)), peer.Points.Count);
        Assert.Equal(lines.Count(line => line.Contains("bad", StringComparison.Ordinal)), sender.Aside);
        Assert.InRange(time.Passed, TimeSpan.Zero, TimeSpan.FromMinutes(10));
    }

    [Fact]
    public async Task Bad_points_at_the_beginning_do_not_hold_up_the_good_ones_behind_them()
    {
        using var weeks = new WetWeeks();
        await using var peer = await InfluxPeer.StartAsync();
        peer.Wrong = ",kind=bad";
        var (sender, _) = Sender(weeks, peer, out _);
        await sender.SendAsync([.. Enumerable.Range(0, 400).Select(n => $"a{(n < 60 ? ",kind=bad" : "")} b={n} {n}")], Ct);

        Assert.Equal((340, 60), (peer.Points.Count, (int)sender.Aside));
    }

    /// <summary>A server that takes what it took before is well, so the points are to blame, in however small a batch.</summary>
    [Fact]
    public async Task After_a_batch_that_ends_with_bad_points_one_of_bad_points_only_is_set_aside_too()
    {
        using var weeks = new WetWeeks();
        await using var peer = await InfluxPeer.StartAsync();
        peer.Wrong = ",kind=bad";
        var (sender, _) = Sender(weeks, peer, out _);
        foreach (var (from, good, bad) in new[] { (0, 50, 30), (100, 0, 5), (200, 0, 30), (300, 40, 0) })
            await sender.SendAsync(
                [.. Enumerable.Range(from, good + bad).Select(n => $"a{(n < from + good ? "" : ",kind=bad")} b={n} {n}")], Ct);

        Assert.Equal((90, 65), (peer.Points.Count, (int)sender.Aside));
    }

    [Theory]
    [InlineData(3, 15)] // in a small batch
    [InlineData(4, 400)] // in the midst of a large one
    [InlineData(40, 2000)]
    public async Task A_server_that_begins_to_refuse_whatever_it_is_sent_loses_nothing(int takes, int points)
    {
        using var weeks = new WetWeeks();
        await using var peer = await InfluxPeer.StartAsync();
        var (sender, log) = Sender(weeks, peer, out var time);
        var asked = 0;
        peer.MostLines = 25;
        peer.Fault = () => asked++ < takes || time.Passed > TimeSpan.FromHours(2) ? 0 : 400;
        await sender.SendAsync(["a b=0 0"], Ct);
        await sender.SendAsync([.. Enumerable.Range(1, points).Select(n => $"a b={n} {n}")], Ct);
        await sender.SendAsync([.. Enumerable.Range(points + 1, 15).Select(n => $"a b={n} {n}")], Ct);

        Assert.Equal((points + 16, 0), (peer.Points.Count, (int)sender.Aside));
        if (time.Passed > TimeSpan.FromHours(2))
            Assert.Contains(log.Lines, line => line.Contains("takes nothing at the moment", StringComparison.Ordinal));
    }

    /// <summary>A proxy with a limit on what is sent (413, RFC 9110 15.5.14) takes the same points in smaller parts.</summary>
    [Fact]
    public async Task Too_much_for_one_request_is_sent_in_smaller_ones()
    {
        using var weeks = new WetWeeks();
        await using var peer = await InfluxPeer.StartAsync();
        peer.MostLines = 40;
        var (sender, _) = Sender(weeks, peer, out _);
        await sender.SendAsync([.. Enumerable.Range(0, 5000).Select(n => $"a b={n} {n}")], Ct);

        Assert.Equal((5000, 0), (peer.Points.Count, (int)sender.Aside));
    }

    /// <summary>The words are those of a server (docs.influxdata.com, InfluxDB OSS v2): it has taken the rest.</summary>
    [Theory]
    [InlineData(422)]
    [InlineData(400)]
    public async Task Of_a_partial_write_the_dropped_points_alone_count_as_refused(int status)
    {
        using var weeks = new WetWeeks();
        await using var peer = await InfluxPeer.StartAsync();
        var asked = 0;
        peer.Fault = () => asked++ == 0 ? status : 0;
        peer.FaultMessage = "failure writing points to database: partial write: field type conflict: input field \\\"b\\\" on measurement "
            + "\\\"rain\\\" is type float, already exists as type integer dropped=7";
        var (sender, log) = Sender(weeks, peer, out _);
        await sender.SendAsync(["a b=1 1", "rain,site=x b=1.5 1", "a b=2 2"], Ct);

        Assert.Equal((1, 7), (asked, (int)sender.Aside));
        var aside = weeks.Store.Quarantine().Single(row => row.Topic == "influx");
        Assert.StartsWith("the InfluxDB server refuses 7 points, such as this one may be: ", aside.Reason.Text, StringComparison.Ordinal);
        Assert.Equal("rain,site=x b=1.5 1", System.Text.Encoding.UTF8.GetString(aside.Payload));
        Assert.Single(log.Lines, line => line.Contains("refuses a point", StringComparison.Ordinal));
    }

    [Theory]
    [InlineData("Mon, 30 Nov 2026 17:57:27 GMT")]
    [InlineData("99999999999")]
    public async Task A_pause_in_a_form_that_the_library_does_not_know_is_told_as_a_pause(string pause)
    {
        await using var peer = await InfluxPeer.StartAsync();
        peer.Fault = () => 429;
        peer.FaultHeader = ("Retry-After", pause);
        using var server = new InfluxServer(peer.Address);

        var answer = await server.WriteAsync(["a b=1 1"], Ct);

        Assert.Equal((InfluxOutcome.Later, "it asks to be left alone for a while"), (answer.Outcome, answer.Reason));
    }

    [Fact]
    public async Task A_server_that_points_elsewhere_is_told_as_such()
    {
        await using var peer = await InfluxPeer.StartAsync();
        peer.Fault = () => 307;
        peer.FaultHeader = ("Location", "https://elsewhere.example/");
        using var server = new InfluxServer(peer.Address);

        var answer = await server.WriteAsync(["a b=1 1"], Ct);

        Assert.Equal((InfluxOutcome.Later, "307, it points to another address; write that one as url"), (answer.Outcome, answer.Reason));
    }

    /// <summary>The words are those of a server (docs.influxdata.com, InfluxDB OSS v2): it has taken the rest.</summary>
    [Theory]
    [InlineData(422)]
    [InlineData(500)]
    public async Task Points_older_than_the_bucket_keeps_are_told_as_such_and_not_asked_for_again(int status)
    {
        using var weeks = new WetWeeks();
        weeks.Measure(0, 30);
        await using var peer = await InfluxPeer.StartAsync();
        var asked = 0;
        peer.Fault = () => asked++ == 0 ? status : 0;
        peer.FaultMessage = "failure writing points to database: partial write: points beyond retention policy dropped=40";
        using var log = new LogLines();
        using var server = new InfluxServer(peer.Address);
        using var book = weeks.Book();
        var time = new JumpingTime(WetWeeks.Begin.AddHours(30));
        var sender = new InfluxSender(server, "a server", book, time, log.Logger);
        await sender.SendAsync([.. Enumerable.Range(0, 100).Select(n => $"a b={n} {n}")], Ct);

        Assert.Equal((1, 40), (asked, sender.Aside));
        Assert.Contains("takes no points as old as 40 of these", Assert.Single(log.Lines), StringComparison.Ordinal);
        Assert.DoesNotContain(weeks.Store.Quarantine(), row => row.Topic == "influx");
        Assert.Null(sender.WaitingSince);
    }

    [Fact]
    public async Task A_server_that_is_well_again_is_said_to_be_so_though_all_that_waits_is_bad()
    {
        using var weeks = new WetWeeks();
        await using var peer = await InfluxPeer.StartAsync();
        var (sender, log) = Sender(weeks, peer, out var time);
        await sender.SendAsync(["a b=0 0"], Ct);
        peer.Wrong = ",kind=bad";
        peer.Fault = () => time.Passed > TimeSpan.FromHours(1) ? 0 : 400;
        await sender.SendAsync([.. Enumerable.Range(1, 5).Select(n => $"a,kind=bad b={n} {n}")], Ct);

        Assert.Equal((null, null, 5), (sender.WaitingSince, sender.LastAnswer, (int)sender.Aside));
        Assert.Single(log.Lines, line => line.Contains("takes points again", StringComparison.Ordinal));
    }

    private static (InfluxSender Sender, LogLines Log) Sender(WetWeeks weeks, InfluxPeer peer, out JumpingTime time)
    {
        var log = new LogLines();
        time = new JumpingTime(WetWeeks.Begin);
        return (new InfluxSender(new InfluxServer(peer.Address), "a server", weeks.Book(), time, log.Logger), log);
    }
}
