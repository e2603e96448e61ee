using System.Collections.Concurrent;
using BackyardSentinel.Weather;
using Serilog;
using Serilog.Core;
using Serilog.Events;

namespace BackyardSentinel.Forecasts;

/// <summary>A poller of a real web server, by a clock that moves only when told.</summary>
public abstract class ForecastPollerBench : IDisposable
{
    protected const string Days = """[{"time":"2027-02-01T06:00Z","t":4},{"time":"2027-02-01T07:00Z","t":5}]""";

    protected static readonly DateTimeOffset Now = new(2027, 2, 1, 5, 30, 0, TimeSpan.Zero);

    private readonly Logger _log;
    private readonly List<HttpClient> _clients = [];

    protected ForecastPollerBench() => _log = new LoggerConfiguration().WriteTo.Sink(Said).CreateLogger();

    /// <summary>What was said.</summary>
    private protected LinesSink Said { get; } = new();

    /// <summary>The clock that moves only when told.</summary>
    private protected Clock Time { get; } = new();

    /// <summary>The forecasts that were handed on.</summary>
    protected List<Forecast> Taken { get; } = [];

    /// <summary>What chance gives, 0 to 1.</summary>
    protected double Dice { get; set; } = 0.5;

    protected Logger Log => _log;

    protected static CancellationToken Ct => TestContext.Current.CancellationToken;

    public void Dispose()
    {
        _log.Dispose();
        _clients.ForEach(client => client.Dispose());
        GC.SuppressFinalize(this);
    }

    protected ForecastPoller Poller(
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
                Taken.Add(forecast);
                return ValueTask.CompletedTask;
            },
            Time,
            () => Dice,
            _log,
            memory);
    }

    /// <summary>
    /// Lets the clock run while the poller waits for it; it stands still while the server is at work, unless told otherwise.
    /// </summary>
    private protected async Task<TimeSpan> Poll(ForecastPoller poller, ForecastServer server, bool whileBusy = false)
    {
        var polling = poller.PollAsync(Ct);
        while (await Task.WhenAny(polling, Task.Delay(50, Ct)) != polling)
        {
            if (whileBusy || !server.IsBusy)
                Time.Advance(TimeSpan.FromSeconds(1));
        }

        return await polling;
    }

    /// <summary>A clock that keeps for how long it was asked to wake somebody.</summary>
    private protected sealed class Clock() : FakeTimeProvider(Now)
    {
        public ConcurrentQueue<TimeSpan> Waits { get; } = [];

        public override ITimer CreateTimer(TimerCallback callback, object? state, TimeSpan dueTime, TimeSpan period)
        {
            Waits.Enqueue(dueTime);
            return base.CreateTimer(callback, state, dueTime, period);
        }
    }

    private protected sealed class LinesSink : ILogEventSink
    {
        public List<string> Lines { get; } = [];

        public void Emit(LogEvent logEvent) => Lines.Add(logEvent.RenderMessage(System.Globalization.CultureInfo.InvariantCulture));
    }
}
