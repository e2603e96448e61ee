namespace BackyardSentinel.Guards;

public sealed class KeptRunningTests : IDisposable
{
    private readonly FakeTimeProvider _time = new();
    private readonly LogLines _said = new();

    public void Dispose() => _said.Dispose();

    [Fact]
    public async Task What_fails_begins_again_after_pauses_that_grow_to_an_hour()
    {
        var runs = 0;
        using var stop = new CancellationTokenSource();
        var running = Run(
            _ => runs++ % 2 == 0 ? throw new InvalidOperationException("It broke.") : Task.FromException(new IOException("It broke off.")),
            stop);
        List<int> after = [];
        for (var minute = 0; minute < 260; minute++)
        {
            var before = runs;
            _time.Advance(TimeSpan.FromMinutes(1));
            if (runs > before)
                after.Add(minute + 1);
        }

        Assert.Equal([1, 3, 7, 15, 31, 63, 123, 183, 243], after);
        Assert.Equal("The kite has stopped: It broke. The garden is watched on; it begins again in 1 min.", _said.Lines.First());
        Assert.Equal(10, _said.Lines.Count);
        await stop.CancelAsync();
        await running;
    }

    [Fact]
    public async Task What_ran_for_long_before_it_failed_begins_again_soon()
    {
        using var stop = new CancellationTokenSource();
        var runs = 0;
        var running = Run(
            async ct =>
            {
                runs++;
                await Task.Delay(TimeSpan.FromHours(2), _time, ct);
                throw new IOException("It broke off.");
            },
            stop);
        for (var hours = 0; hours < 8; hours++)
        {
            _time.Advance(TimeSpan.FromHours(2));
            await Until.TrueAsync(() => _said.Lines.Count == hours + 1, "it is told");
            _time.Advance(TimeSpan.FromMinutes(1));
            await Until.TrueAsync(() => runs == hours + 2, "it runs again");
        }

        Assert.All(_said.Lines, line => Assert.EndsWith("in 1 min.", line, StringComparison.Ordinal));
        await stop.CancelAsync();
        await running;
    }

    [Fact]
    public async Task What_ends_by_itself_or_by_a_stop_is_no_failure()
    {
        using var stop = new CancellationTokenSource();
        await Run(_ => Task.CompletedTask, stop);
        var running = Run(ct => Task.Delay(Timeout.Infinite, ct), stop);
        await stop.CancelAsync();
        await running;
        Assert.Empty(_said.Lines);
    }

    [Fact]
    public async Task What_concerns_all_ends_all_and_is_thrown()
    {
        using var stop = new CancellationTokenSource();
        var others = 0;
        (string, Func<CancellationToken, Task>)[] all =
        [
            ("The kite", async ct =>
            {
                await Task.Delay(TimeSpan.FromMinutes(5), _time, ct);
                throw new InvalidDataException("It is torn.");
            }),
            ("The string", async ct =>
            {
                others++;
                await Task.Delay(Timeout.Infinite, ct);
            }),
        ];
        var running = KeptRunning.RunAllAsync(all, _time, _said.Logger, failure => failure is InvalidDataException, stop.Token);
        Assert.False(running.IsCompleted);

        _time.Advance(TimeSpan.FromMinutes(5));

        Assert.Equal("It is torn.", (await Assert.ThrowsAsync<InvalidDataException>(() => running)).Message);
        Assert.Equal(1, others);
        Assert.Empty(_said.Lines);
    }

    private Task Run(Func<CancellationToken, Task> run, CancellationTokenSource stop) =>
        KeptRunning.RunAsync("The kite", run, _time, _said.Logger, failure => failure is InvalidDataException, stop.Token);
}
