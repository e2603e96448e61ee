using BackyardSentinel.Forecasts;
using BackyardSentinel.Weather;

namespace BackyardSentinel.Network;

/// <summary>A source of forecasts. It is asked seldom, so the fault stands when it is asked for the first time.</summary>
internal sealed class ForecastParty : LineParty
{
    private readonly CancellationTokenSource _stop = new();
    private readonly ForecastServer _server;
    private readonly HttpClient _http;
    private readonly ForecastPoller _poller;
    private Forecast? _taken;
    private Task _running = Task.CompletedTask;

    public ForecastParty(ForecastServer server, Uri url, BusyHandler http, CellTime time)
    {
        (_server, _http) = (server, new HttpClient(http) { Timeout = Timeout.InfiniteTimeSpan });
        time.IsBusy = () => http.IsBusy;
        _poller = new ForecastPoller(
            _http,
            new ForecastSource(url, "grower@garden.example"),
            new ForecastMap
            {
                Shape = ForecastShape.List,
                Source = "Weir Office",
                Quantities = [new ForecastField(ForecastQuantity.Temperature, "t")],
            },
            (forecast, _) =>
            {
                _taken = forecast;
                return ValueTask.CompletedTask;
            },
            time.Time,
            new Random(7).NextDouble,
            Log.Logger);
    }

    public override string WellAgain => "is back";

    public override bool IsRight => _taken is not null;

    public override int Repeated => 0;

    /// <summary>Hours of ten days, as a source sends them: some 20 kB.</summary>
    public static string Days(DateTimeOffset from) =>
        "[" + string.Join(',', Enumerable.Range(1, 240).Select(hour =>
            $$"""{"time":"{{from.AddHours(hour):yyyy-MM-dd'T'HH:mm'Z'}}","t":4.5,"note":"as of the morning, hour {{hour}}"}""")) + "]";

    public override Task StartAsync() => Task.CompletedTask;

    public override Task SendAsync(int number)
    {
        if (number == 1)
            _running = _poller.RunAsync(_stop.Token);
        return Task.CompletedTask;
    }

    public override async ValueTask DisposeAsync()
    {
        await _stop.CancelAsync();
        await _running;
        _http.Dispose();
        _stop.Dispose();
        await _server.DisposeAsync();
        await base.DisposeAsync();
    }
}
