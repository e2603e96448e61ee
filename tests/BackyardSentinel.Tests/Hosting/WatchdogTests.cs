using BackyardSentinel.Guards;
using Microsoft.Extensions.Hosting.Systemd;
using NSubstitute;

namespace BackyardSentinel.Hosting;

/// <summary>The protocol of sd_notify(3) and sd_watchdog_enabled(3), as systemd documents it.</summary>
public sealed class WatchdogTests : IDisposable
{
    private readonly FakeTimeProvider _time = new(new DateTimeOffset(2027, 3, 4, 12, 0, 0, TimeSpan.Zero));
    private readonly ISystemdNotifier _notifier = Substitute.For<ISystemdNotifier>();
    private readonly LogLines _log = new();
    private readonly List<string> _told = [];

    public WatchdogTests()
    {
        _notifier.IsEnabled.Returns(true);
        _notifier.When(one => one.Notify(Arg.Any<ServiceState>()))
            .Do(call => _told.Add(call.Arg<ServiceState>().ToString()!));
    }

    public void Dispose() => _log.Dispose();

    [Fact]
    public async Task It_says_ready_then_that_it_works_and_in_the_end_that_it_stops()
    {
        var turns = new TurnWatch(_time);
        using var stop = new CancellationTokenSource();
        var running = Watch(turns).RunAsync("30000000", stop.Token);
        turns.Turn(TimeSpan.FromHours(1));
        _time.Advance(TimeSpan.FromSeconds(10));
        await Until.TrueAsync(() => _told.Count == 4, "it looked again");
        await stop.CancelAsync();
        await running;

        Assert.Equal(["READY=1", "WATCHDOG_USEC=30000000", "WATCHDOG=1", "WATCHDOG=1", "STOPPING=1"], _told);
    }

    [Fact]
    public async Task A_task_that_turns_no_more_ends_its_word_and_is_named_in_the_log()
    {
        TurnWatch one = new(_time), other = new(_time);
        one.Turn(TimeSpan.FromHours(1));
        other.Turn();
        using var stop = new CancellationTokenSource();
        var running = Watch(one, other).RunAsync("30000000", stop.Token);
        _time.Advance(TurnWatch.Grace + TimeSpan.FromSeconds(10));
        await Until.TrueAsync(() => _log.Lines.Any(line => line.Contains("task 1 hangs", StringComparison.Ordinal)), "the task is named");
        await stop.CancelAsync();
        await running;

        Assert.Equal(["READY=1", "WATCHDOG_USEC=30000000", "WATCHDOG=1", "STOPPING=1"], _told);
    }

    [Fact]
    public async Task Where_no_service_manager_watches_it_says_ready_and_no_more()
    {
        using var stop = new CancellationTokenSource();
        var running = Watch(new TurnWatch(_time)).RunAsync(null, stop.Token);
        _time.Advance(TimeSpan.FromHours(1));
        await stop.CancelAsync();
        await running;

        Assert.Equal(["READY=1", "STOPPING=1"], _told);
    }

    [Fact]
    public async Task Who_starts_anew_with_a_changed_garden_says_so_and_has_the_time_of_a_start_for_it()
    {
        using var stop = new CancellationTokenSource();
        var anew = new Watchdog(_notifier, [("task", new TurnWatch(_time))], _time, _log.Logger, () => true);
        var running = anew.RunAsync("30000000", stop.Token);
        await stop.CancelAsync();
        await running;
        Assert.Equal(["READY=1", "WATCHDOG_USEC=30000000", "WATCHDOG=1", "RELOADING=1", "WATCHDOG_USEC=900000000"], _told);

        var unit = File.ReadAllText(BackyardSentinel.Tests.Checkout.Path("deploy", "backyard-sentinel.service"));
        Assert.Contains("TimeoutStartSec=15min", unit, StringComparison.Ordinal);
    }

    [Fact]
    public void A_clock_that_is_set_makes_no_task_late()
    {
        var turns = new TurnWatch(_time);
        Assert.False(turns.IsLate);
        turns.Turn(TimeSpan.FromSeconds(5));
        _time.Advance(TurnWatch.Grace);
        Assert.False(turns.IsLate);
        _time.Advance(TimeSpan.FromSeconds(6));
        Assert.True(turns.IsLate);
        turns.Turn();
        Assert.False(turns.IsLate);
    }

    private Watchdog Watch(params TurnWatch[] turns) =>
        new(_notifier, [.. turns.Select((one, i) => ($"task {i}", one))], _time, _log.Logger);
}
