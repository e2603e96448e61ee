using BackyardSentinel.Contract;
using BackyardSentinel.Events;
using BackyardSentinel.Guards;
using BackyardSentinel.Hosting;
using BackyardSentinel.Infection;
using Serilog.Core;

namespace BackyardSentinel.Influx;

public sealed class InfluxForwarderTests
{
    private static CancellationToken Ct => TestContext.Current.CancellationToken;

    [Fact]
    public async Task What_the_season_gave_is_there_reading_by_reading_and_interval_by_interval()
    {
        using var weeks = new WetWeeks();
        weeks.Measure(0, 96);
        await using var peer = await InfluxPeer.StartAsync();
        await ForwardOnceAsync(weeks, peer, WetWeeks.Begin.AddHours(96));

        List<SentinelEvent> facts = [];
        var watch = new SiteWatch(weeks.Garden.Sites[0], facts.Add);
        var readings = 0;
        foreach (var row in weeks.Store.ReadSeason())
        {
            var series = weeks.Garden.Series.Single(one => one.Name == weeks.Store.SeriesNames[row.Series]);
            watch.Accept(
                new Weather.Reading(series.Quantity, DateTimeOffset.FromUnixTimeMilliseconds(row.TimeMs), row.Value),
                DateTimeOffset.FromUnixTimeMilliseconds(row.TimeMs));
            var point =
                peer.Points[$"{InfluxLines.Readings}|quantity={series.Quantity.Word()}|series={series.Name}|site=yard|{row.TimeMs}"];
            Assert.Equal(row.Value, point["value"]);
            Assert.Equal(row.ReceivedUs, point["received_us"]);
            readings++;
        }

        Assert.Equal(readings, peer.Of(InfluxLines.Readings).Count());
        Assert.Equal(watch.IntervalsJudged, peer.Of(InfluxLines.Intervals).Count());
        Assert.Equal(2 * watch.IntervalsJudged, peer.Of(InfluxLines.Levels).Count());
        Assert.Equal(
            (long)watch.Risks[0].Level,
            peer.Of(InfluxLines.Levels).Last(pair => pair.Key.Contains("old-peach", StringComparison.Ordinal)).Value["level_number"]);
        var windows = facts.OfType<InfectionWindowClosed>().Select(fact => fact.Window).ToList();
        Assert.NotEmpty(windows);
        foreach (var window in windows)
        {
            var point = peer.Points[$"{InfluxLines.Windows}|planting={window.Planting}|rule={window.Rule}|site=yard|"
                + $"{window.OpenedAt.ToUnixTimeMilliseconds()}"];
            Assert.Equal(window.Level.Word(), point["level"]);
            Assert.Equal((window.ClosedAt!.Value - window.OpenedAt).TotalHours, point["open_hours"]);
        }

        Assert.All(peer.Heads, head => Assert.Equal("gzip", head.Encoding));
        Assert.All(peer.Heads, head => Assert.Contains("precision=ms", head.Query, StringComparison.Ordinal));
    }

    [Fact]
    public async Task How_often_it_looked_and_was_stopped_changes_nothing_of_what_is_there()
    {
        using var weeks = new WetWeeks();
        await using var often = await InfluxPeer.StartAsync();
        using (var book = weeks.Book())
        {
            using var server = new InfluxServer(often.Address);
            var time = new JumpingTime(WetWeeks.Begin);
            InfluxForwarder? forwarder = null;
            for (var hour = 0; hour < 96; hour += 3)
            {
                weeks.Measure(hour, hour + 3);
                time.Advance(TimeSpan.FromHours(3));
                // Stopped now and then: the new one begins at the mark that the old one kept, if it did.
                if (hour % 24 == 0)
                    forwarder = weeks.Forwarder(book, server, time, Logger.None);
                await forwarder!.ForwardAsync(Ct);
            }
        }

        await using var once = await InfluxPeer.StartAsync();
        await ForwardOnceAsync(weeks, once, WetWeeks.Begin.AddHours(96));

        Assert.Equal(once.Content, often.Content);
    }

    [Fact]
    public async Task A_kill_between_the_write_and_the_mark_leaves_nothing_there_twice()
    {
        using var weeks = new WetWeeks();
        weeks.Measure(0, 288);
        await using var peer = await InfluxPeer.StartAsync();
        using var server = new InfluxServer(peer.Address);
        using var book = weeks.Book();
        using var killed = new CancellationTokenSource();
        var answered = 0;
        // The third request is on the disk of the server, and the service is dead before it hears of it.
        peer.Fault = () => ++answered > 3 ? 503 : 0;
        var time = new JumpingTime(WetWeeks.Begin.AddHours(288));
        var before = weeks.Forwarder(book, server, time, Logger.None);
        var running = before.ForwardAsync(killed.Token);
        await Until.TrueAsync(() => answered > 3 || running.IsCompleted, "three requests were taken");
        await killed.CancelAsync();
        await Record.ExceptionAsync(() => running);
        peer.Fault = () => 0;
        var there = peer.Points.Count;
        Assert.NotEqual(0, there);

        // What was waited for between tries has moved that clock on; the next start is at the hour that is compared.
        var later = new JumpingTime(WetWeeks.Begin.AddHours(288));
        await weeks.Forwarder(book, server, later, Logger.None).ForwardAsync(Ct);
        await weeks.Forwarder(book, server, later, Logger.None).ForwardAsync(Ct);

        Assert.Equal(weeks.Store.ReadSeason().Count(), peer.Of(InfluxLines.Readings).Count());
        await using var once = await InfluxPeer.StartAsync();
        await ForwardOnceAsync(weeks, once, WetWeeks.Begin.AddHours(288));
        Assert.Equal(once.Content, peer.Content);
    }

    [Fact]
    public async Task Nine_days_of_outage_are_told_once_an_hour_and_caught_up_at_a_bounded_pace()
    {
        using var weeks = new WetWeeks();
        weeks.Measure(0, 24);
        await using var peer = await InfluxPeer.StartAsync();
        using var server = new InfluxServer(peer.Address);
        using var book = weeks.Book();
        using var log = new LogLines();
        var time = new JumpingTime(WetWeeks.Begin.AddHours(24));
        var forwarder = weeks.Forwarder(book, server, time, log.Logger);
        await forwarder.ForwardAsync(Ct);
        var asked = 0;
        peer.Fault = () =>
        {
            asked++;
            return time.Passed < TimeSpan.FromDays(9) ? 503 : 0;
        };
        weeks.Measure(24, 25);
        await forwarder.ForwardAsync(Ct); // It waits through the outage with what it has in hand.
        weeks.Measure(25, 24 + (9 * 24));
        var back = time.Passed;
        await forwarder.ForwardAsync(Ct);

        Assert.Equal(weeks.Store.ReadSeason().Count(), peer.Of(InfluxLines.Readings).Count());
        // Five minutes at most between two attempts, and not much less: the server is not stormed.
        Assert.InRange(asked, 9 * 24 * 12 / 2, 9 * 24 * 12 * 3);
        Assert.InRange(
            log.Lines.Count(line => line.Contains("takes nothing at the moment", StringComparison.Ordinal)), 9 * 24 / 2, (9 * 24) + 1);
        Assert.Contains(log.Lines, line => line.Contains("takes points again", StringComparison.Ordinal));
        // A day at a time, and a rest behind each.
        Assert.True(time.Passed - back >= 8 * InfluxSender.Pace);
        Assert.DoesNotContain(log.Lines, line => line.Contains(InfluxPeer.Token, StringComparison.Ordinal));
    }

    [Fact]
    public async Task What_answers_in_the_place_of_an_InfluxDB_has_taken_nothing()
    {
        using var weeks = new WetWeeks();
        weeks.Measure(0, 24);
        await using var peer = await InfluxPeer.StartAsync();
        using var server = new InfluxServer(peer.Address);
        using var book = weeks.Book();
        using var log = new LogLines();
        var time = new JumpingTime(WetWeeks.Begin.AddHours(24));
        peer.Fault = () => time.Passed < TimeSpan.FromHours(1) ? 200 : 0;
        peer.FaultMessage = "<h1>Please sign in to the guest network</h1>";
        await weeks.Forwarder(book, server, time, log.Logger).ForwardAsync(Ct);

        Assert.Equal(weeks.Store.ReadSeason().Count(), peer.Of(InfluxLines.Readings).Count());
        Assert.Contains(
            log.Lines,
            line => line.Contains("(200, where an InfluxDB answers 204: ", StringComparison.Ordinal)
                && line.Contains("sign in to the guest network", StringComparison.Ordinal));
    }

    [Fact]
    public async Task A_point_that_the_server_refuses_is_set_aside_with_the_reason_and_the_others_go()
    {
        using var weeks = new WetWeeks();
        weeks.Measure(0, 30);
        await using var peer = await InfluxPeer.StartAsync();
        var wrong = WetWeeks.Begin.AddHours(7).ToUnixTimeMilliseconds();
        peer.Wrong = $" {wrong}";
        using var log = new LogLines();
        await ForwardOnceAsync(weeks, peer, WetWeeks.Begin.AddHours(30), log.Logger);

        peer.Wrong = null;
        await using var once = await InfluxPeer.StartAsync();
        await ForwardOnceAsync(weeks, once, WetWeeks.Begin.AddHours(30));

        var missing = once.Points.Keys.Except(peer.Points.Keys).ToList();
        Assert.NotEmpty(missing);
        Assert.All(missing, point => Assert.EndsWith($"|{wrong}", point, StringComparison.Ordinal));
        var aside = weeks.Store.Quarantine().Single(row => row.Topic == "influx");
        Assert.Equal("the InfluxDB server refuses this point: 400, field type conflict, Token … sent it", aside.Reason.Text);
        Assert.Equal(missing.Count, aside.Count);
        Assert.Contains("sentinel_", System.Text.Encoding.UTF8.GetString(aside.Payload), StringComparison.Ordinal);
        Assert.Single(log.Lines, line => line.Contains("refuses a point", StringComparison.Ordinal));
        Assert.DoesNotContain(log.Lines, line => line.Contains(InfluxPeer.Token, StringComparison.Ordinal));
    }

    [Fact]
    public async Task A_server_that_refuses_whatever_it_is_sent_has_a_trouble_of_its_own_and_nothing_is_given_up()
    {
        using var weeks = new WetWeeks();
        weeks.Measure(0, 30);
        await using var peer = await InfluxPeer.StartAsync();
        var time = new JumpingTime(WetWeeks.Begin.AddHours(30));
        peer.Fault = () => time.Passed < TimeSpan.FromHours(3) ? 400 : 0;
        using var log = new LogLines();
        using var server = new InfluxServer(peer.Address);
        using var book = weeks.Book();
        await weeks.Forwarder(book, server, time, log.Logger).ForwardAsync(Ct);

        Assert.Equal(weeks.Store.ReadSeason().Count(), peer.Of(InfluxLines.Readings).Count());
        Assert.DoesNotContain(weeks.Store.Quarantine(), row => row.Topic == "influx");
        Assert.InRange(log.Lines.Count(line => line.Contains("takes nothing at the moment", StringComparison.Ordinal)), 3, 4);
        Assert.Single(log.Lines, line => line.Contains("takes points again", StringComparison.Ordinal));
    }

    [Theory]
    [InlineData(401)]
    [InlineData(403)]
    [InlineData(404)]
    public async Task A_token_that_may_not_write_is_told_once_with_what_to_do(int status)
    {
        using var weeks = new WetWeeks();
        weeks.Measure(0, 2);
        await using var peer = await InfluxPeer.StartAsync();
        var time = new JumpingTime(WetWeeks.Begin.AddHours(2));
        peer.Fault = () => time.Passed < TimeSpan.FromDays(2) ? status : 0;
        using var log = new LogLines();
        using var server = new InfluxServer(peer.Address);
        using var book = weeks.Book();
        await weeks.Forwarder(book, server, time, log.Logger).ForwardAsync(Ct);

        var told = Assert.Single(log.Lines, line => line.Contains("takes nothing from this service", StringComparison.Ordinal));
        Assert.Contains("token must be allowed to write to this bucket", told, StringComparison.Ordinal);
        Assert.DoesNotContain(InfluxPeer.Token, told, StringComparison.Ordinal);
        Assert.Equal(weeks.Store.ReadSeason().Count(), peer.Of(InfluxLines.Readings).Count());
    }

    [Fact]
    public async Task The_server_may_say_how_long_it_wants_to_be_left_alone()
    {
        using var weeks = new WetWeeks();
        weeks.Measure(0, 2);
        await using var peer = await InfluxPeer.StartAsync();
        var time = new JumpingTime(WetWeeks.Begin.AddHours(2));
        var asked = 0;
        peer.Fault = () => ++asked == 1 ? 429 : 0;
        peer.FaultHeader = ("Retry-After", "1234");
        using var server = new InfluxServer(peer.Address);
        using var book = weeks.Book();
        await weeks.Forwarder(book, server, time, Logger.None).ForwardAsync(Ct);

        Assert.Equal(2, asked);
        Assert.InRange(time.Passed.TotalSeconds, 1234, 1250);
    }

    [Fact]
    public async Task A_reading_that_comes_late_changes_what_was_judged_before_there_too()
    {
        using var weeks = new WetWeeks();
        weeks.Measure(0, 40, leaveOut: at => at == WetWeeks.Begin.AddHours(20));
        await using var peer = await InfluxPeer.StartAsync();
        using var server = new InfluxServer(peer.Address);
        using var book = weeks.Book();
        var time = new JumpingTime(WetWeeks.Begin.AddHours(40));
        var forwarder = weeks.Forwarder(book, server, time, Logger.None);
        await forwarder.ForwardAsync(Ct);
        var before = peer.Content;
        weeks.Measure(Quantity.Rain, WetWeeks.Begin.AddHours(20), 3.4, WetWeeks.Begin.AddHours(40).AddMinutes(1));
        await forwarder.ForwardAsync(Ct);

        Assert.NotEqual(before, peer.Content);
        await using var once = await InfluxPeer.StartAsync();
        await ForwardOnceAsync(weeks, once, WetWeeks.Begin.AddHours(40).AddMinutes(1));
        // A window that now opens earlier has left its first place, and says so there.
        var gone = peer.Of(InfluxLines.Windows).Where(pair => pair.Value["taken_back"] is true).ToList();
        Assert.NotEmpty(gone);
        Assert.All(gone, pair => Assert.Equal(0L, pair.Value["level_number"]));
        foreach (var (point, _) in gone)
            peer.Points.Remove(point);
        Assert.Equal(once.Content, peer.Content);
    }

    [Fact]
    public async Task What_the_grower_writes_about_last_week_changes_the_levels_there_too()
    {
        using var weeks = new WetWeeks();
        weeks.Measure(0, 60);
        await using var peer = await InfluxPeer.StartAsync();
        using var server = new InfluxServer(peer.Address);
        using var book = weeks.Book();
        var forwarder = weeks.Forwarder(book, server, new JumpingTime(WetWeeks.Begin.AddHours(60)), Logger.None);
        await forwarder.ForwardAsync(Ct);
        Assert.Contains(peer.Of(InfluxLines.Levels), pair => pair.Value["level_number"] is > 1L);
        using (var journal = JournalBook.Beside(weeks.Garden.Store.Path))
            journal.Add(new ShelterEntry(0, "yard", "old-peach", new DateOnly(2025, 2, 27), true), WetWeeks.Begin.AddHours(60));
        await forwarder.ForwardAsync(Ct);

        Assert.All(
            peer.Of(InfluxLines.Levels).Where(pair => pair.Key.Contains("old-peach", StringComparison.Ordinal)),
            pair => Assert.Equal(true, pair.Value["sheltered"]));
    }

    [Fact]
    public async Task Where_the_server_is_not_there_at_all_it_is_waited_for()
    {
        using var weeks = new WetWeeks();
        weeks.Measure(0, 2);
        var time = new JumpingTime(WetWeeks.Begin.AddHours(2));
        using var log = new LogLines();
        using var server = new InfluxServer(new InfluxAddress(new Uri("http://127.0.0.1:1"), "garden", "weather", InfluxPeer.Token));
        using var book = weeks.Book();
        using var stop = new CancellationTokenSource();
        var running = weeks.Forwarder(book, server, time, log.Logger).RunAsync(stop.Token);
        await Until.TrueAsync(() => time.Passed > TimeSpan.FromHours(2), "it has waited for hours");
        await stop.CancelAsync();
        await running;

        Assert.Null(book.Read());
        Assert.Contains(log.Lines, line => line.Contains("Nothing is lost", StringComparison.Ordinal));
    }

    [Fact]
    public async Task How_it_stands_is_told_when_that_changes_and_every_ten_minutes_while_it_lasts()
    {
        using var weeks = new WetWeeks();
        weeks.Measure(0, 6);
        await using var peer = await InfluxPeer.StartAsync();
        var time = new JumpingTime(WetWeeks.Begin.AddHours(6));
        peer.Fault = () => time.Passed < TimeSpan.FromHours(2) ? 503 : 0;
        var garden = weeks.Garden with
        {
            Influx = new InfluxSettings(
                KeptValue.Parse(peer.Url.AbsoluteUri),
                "garden",
                "weather",
                new KeptValue(InfluxPeer.Token, null),
                Enum.GetValues<ForwardedKind>()),
        };
        using var wiring = InfluxWiring.Of(garden, time, Logger.None)!;
        List<InfluxTopic> told = [];
        using var stop = new CancellationTokenSource();
        wiring.Told += topic =>
        {
            lock (told)
                told.Add(topic);
            if (topic.State == InfluxState.Forwarding)
                stop.Cancel();
        };
        await wiring.Forwarder.RunAsync(stop.Token);

        Assert.Equal(InfluxState.Waiting, told[0].State);
        Assert.Equal((null, 6 * 12 * 3), (told[0].SafeUntil, told[0].Waiting));
        Assert.StartsWith("503, ", told[0].LastAnswer, StringComparison.Ordinal);
        Assert.DoesNotContain(InfluxPeer.Token, told[0].LastAnswer, StringComparison.Ordinal);
        var waiting = told.Where(topic => topic.State == InfluxState.Waiting).ToList();
        Assert.InRange(waiting.Count, 6, 14);
        Assert.All(waiting, topic => Assert.Equal(told[0].Since, topic.Since));

        // The first word after it takes points again comes before the batch is safe, or after it.
        Assert.Equal((InfluxState.Forwarding, null), (told[^1].State, told[^1].LastAnswer));
        Assert.True(told[^1].Since > told[0].Since);
    }

    private static async Task ForwardOnceAsync(WetWeeks weeks, InfluxPeer peer, DateTimeOffset now, Serilog.ILogger? log = null)
    {
        using var book = weeks.Book();
        book.Keep(new ForwardMark("none", 0, 0));
        using var server = new InfluxServer(peer.Address);
        await weeks.Forwarder(book, server, new JumpingTime(now), log ?? Logger.None).ForwardAsync(Ct);
    }
}
