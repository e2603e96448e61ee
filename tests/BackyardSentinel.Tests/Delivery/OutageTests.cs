namespace BackyardSentinel.Delivery;

/// <summary>Days of outage in virtual time: nothing vanishes unsaid.</summary>
public sealed class OutageTests
{
    private static CancellationToken Ct => TestContext.Current.CancellationToken;

    [Fact]
    public async Task After_72_hours_without_a_path_every_alert_was_delivered_once_or_is_in_the_one_digest()
    {
        var time = new FakeTimeProvider(Some.Morning);
        var (phone, hub) = (new ScriptedReceiver("phone", time), new ScriptedReceiver("hub", time));
        using var bench = new OutboxBench(time, phone, hub);
        phone.Answer = (_, _) => ScriptedReceiver.Down;
        for (var i = 0; i < 18; i++)
        {
            bench.Post("alert-" + i);
            await bench.Pass(TimeSpan.FromHours(4), TimeSpan.FromMinutes(10), Ct);
        }

        Assert.Empty(phone.Got);
        phone.Answer = (_, _) => ScriptedReceiver.Taken;
        await bench.Pass(TimeSpan.FromHours(1), TimeSpan.FromMinutes(1), Ct);

        Assert.Equal(18, hub.Got.Count());
        var digest = Assert.Single(phone.Got, message => message.Kind == "alerts-not-sent");
        var direct = phone.Got.Where(message => message != digest).Select(message => message.Id);
        Assert.Equal(
            Enumerable.Range(0, 18).Select(i => "alert-" + i).Order(),
            direct.Concat(digest.Facts["ids"].Split(' ')).Order());
        // The last alerts were still of use: those of the last 24 h came one by one.
        Assert.InRange(direct.Count(), 5, 6);
        Assert.Matches(@"^1[23] alerts could not be sent$", digest.Title);
        Assert.StartsWith("They were due between 4 Mar 06:00 and 6 Mar 0", digest.Text, StringComparison.Ordinal);
        Assert.InRange(digest.Text.Length, 50, 500);
        Assert.All(
            bench.Outbox.Rows(),
            row => Assert.False(row.State is OutboxState.Waiting or OutboxState.Expired or OutboxState.Rejected, row.ToString()));
        Assert.False(bench.Dispatcher.Health.IsDead);
    }

    [Theory]
    [InlineData(1)]
    [InlineData(2)]
    [InlineData(3)]
    [InlineData(4)]
    public async Task Under_any_mixture_of_troubles_and_restarts_every_message_ends_and_none_is_taken_twice(int seed)
    {
        var time = new FakeTimeProvider(Some.Morning);
        var chance = new Random(seed);
        var phone = new ScriptedReceiver("phone", time);
        using var bench = new OutboxBench(time, phone);
        var mood = 0;
        phone.Answer = (_, _) => (mood, chance.Next(10)) switch
        {
            (2, _) => ScriptedReceiver.Taken,
            (1, < 5) => new DeliveryResult.RetryLater("Busy.", TimeSpan.FromMinutes(chance.Next(180))),
            (1, < 7) => new DeliveryResult.Rejected("No."),
            (0, < 1) => throw new InvalidOperationException("a receiver's own fault"),
            _ => ScriptedReceiver.Down,
        };
        List<string> posted = [];
        for (var i = 0; i < 40; i++)
        {
            mood = chance.Next(3);
            posted.Add("alert-" + i);
            bench.Post(posted[^1], "episode-" + chance.Next(12));
            await bench.Pass(TimeSpan.FromMinutes(chance.Next(10, 900)), TimeSpan.FromMinutes(10), Ct);
            if (chance.Next(3) == 0) bench.Restart();
        }

        mood = 2;
        posted.Add("last");
        bench.Post("last");
        await bench.Pass(TimeSpan.FromHours(30), TimeSpan.FromMinutes(10), Ct);

        var got = phone.Got.Select(message => message.Id).ToList();
        Assert.Equal(got.Distinct(), got);
        var told = phone
            .Got.Where(message => message.Kind == "alerts-not-sent")
            .SelectMany(message => message.Facts["ids"].Split(' '))
            .ToHashSet();
        var rows = bench.Outbox.Rows().ToDictionary(row => row.Id);
        Assert.All(posted, id => Assert.True(rows[id].State switch
        {
            OutboxState.Delivered => got.Contains(id),
            OutboxState.ExpiredReported or OutboxState.RejectedReported => told.Contains(id) && !got.Contains(id),
            OutboxState.Superseded => rows.Values.Any(row => row.Episode == rows[id].Episode && row.CreatedMs > rows[id].CreatedMs),
            _ => false,
        }, rows[id].ToString()));
    }

    [Fact]
    public async Task The_path_is_dead_when_nothing_worked_for_24_hours_and_alive_when_something_does()
    {
        var time = new FakeTimeProvider(Some.Morning);
        var phone = new ScriptedReceiver("phone", time);
        using var bench = new OutboxBench(time, phone);
        var changes = new List<bool>();
        bench.Dispatcher.Health.Changed += (_, _) => changes.Add(bench.Dispatcher.Health.IsDead);
        bench.Post("works");
        await bench.Pass(TimeSpan.FromDays(3), TimeSpan.FromMinutes(30), Ct);
        Assert.Equal([false], changes); // Something got out. Nothing to send is no trouble.
        Assert.Equal(Some.Morning, bench.Dispatcher.Health.LastWorkedAt);

        phone.Answer = (_, _) => ScriptedReceiver.Down;
        bench.Post("a");
        await bench.Pass(TimeSpan.FromHours(23), TimeSpan.FromMinutes(30), Ct);
        Assert.False(bench.Dispatcher.Health.IsDead);
        Assert.Equal(Some.Morning.AddDays(3), bench.Dispatcher.Health.OpenSince);
        await bench.Pass(TimeSpan.FromHours(2), TimeSpan.FromMinutes(30), Ct);
        Assert.True(bench.Dispatcher.Health.IsDead);

        phone.Answer = (_, _) => ScriptedReceiver.Taken;
        await bench.Pass(TimeSpan.FromHours(1), TimeSpan.FromMinutes(30), Ct);
        Assert.Equal([false, true, false], changes);
        Assert.Null(bench.Dispatcher.Health.OpenSince);
        Assert.Empty(bench.Dispatcher.Health.Problems);
    }

    [Theory]
    [InlineData(true)]
    [InlineData(false)]
    public async Task A_topic_that_takes_everything_does_not_hide_that_the_phone_takes_nothing(bool isGone)
    {
        var time = new FakeTimeProvider(Some.Morning);
        var phone = new ScriptedReceiver("phone", time)
        {
            Answer = (_, _) => isGone ? new DeliveryResult.Rejected("It is gone.") { SwitchOff = true } : ScriptedReceiver.Down,
        };
        using var bench = new OutboxBench(time, phone, new ScriptedReceiver("hub", time) { IsAnswered = false });
        bench.Post("a");
        await bench.Pass(TimeSpan.FromHours(12), TimeSpan.FromMinutes(30), Ct);
        bench.Post("b");
        await bench.Pass(TimeSpan.FromHours(13), TimeSpan.FromMinutes(30), Ct);

        Assert.True(bench.Dispatcher.Health.IsDead);
        Assert.Null(bench.Dispatcher.Health.LastWorkedAt);
    }

    [Fact]
    public async Task Where_there_are_topics_only_they_count()
    {
        var time = new FakeTimeProvider(Some.Morning);
        using var bench = new OutboxBench(time, new ScriptedReceiver("hub", time) { IsAnswered = false });
        bench.Post("a");
        await bench.Pass(TimeSpan.FromHours(25), TimeSpan.FromMinutes(30), Ct);

        Assert.False(bench.Dispatcher.Health.IsDead);
        Assert.NotNull(bench.Dispatcher.Health.LastWorkedAt);
    }
}
