using BackyardSentinel.Weather;

namespace BackyardSentinel.Live;

/// <summary>Hands the newest forecast from whoever fetched it to the loop's thread.</summary>
public sealed class ForecastInlet
{
    private Forecast? _newest;

    /// <summary>Puts a forecast in; one that was not taken yet is forgotten.</summary>
    public void Put(Forecast forecast) => Interlocked.Exchange(ref _newest, forecast);

    /// <summary>Takes the newest one out, if one has come.</summary>
    public Forecast? Take() => Interlocked.Exchange(ref _newest, null);
}
