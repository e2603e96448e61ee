using BackyardSentinel.Garden;
using BackyardSentinel.Spraying;
using BackyardSentinel.Units;
using BackyardSentinel.Weather;
using BackyardSentinel.Wording;

namespace BackyardSentinel.Planning;

/// <summary>Everything a spray plan of one site is computed from.</summary>
public sealed record PlanRequest
{
    /// <summary>Now, UTC.</summary>
    public required DateTimeOffset AsOf { get; init; }

    /// <summary>The site's zone; days are counted in it.</summary>
    public TimeZoneInfo Zone { get; init; } = TimeZoneInfo.Utc;

    /// <summary>The units in which reasons are told.</summary>
    public UnitSystem Units { get; init; } = UnitSystem.Metric;

    /// <summary>The plantings.</summary>
    public required IReadOnlyList<PlanPlanting> Plantings { get; init; }

    /// <summary>The products of the garden file.</summary>
    public required IReadOnlyList<SprayProduct> Products { get; init; }

    /// <summary>What was sprayed so far.</summary>
    public required SprayLedger Ledger { get; init; }

    /// <summary>The forecast; <c>null</c>: there is none.</summary>
    public Forecast? Forecast { get; init; }

    /// <summary>Rain measured in the last day or more; <c>null</c>: not known.</summary>
    public IReadOnlyList<RainAmount>? ObservedRain { get; init; }

    /// <summary>Air measured in the last day or more; <c>null</c>: not known.</summary>
    public IReadOnlyList<AirObserved>? ObservedAir { get; init; }

    /// <summary>Rain of the last 60 days, mm; <c>null</c>: not known.</summary>
    public double? RainLast60DaysMm { get; init; }

    /// <summary>Elevation of the sun, degrees, at a moment; <c>null</c>: the site has no coordinates.</summary>
    public Func<DateTimeOffset, double>? SunElevationDeg { get; init; }

    /// <summary>Station pressure, hPa, 300–1200; 1013.25 unless known.</summary>
    public double PressureHpa { get; init; } = 1013.25;

    /// <summary>A sentence for each thing that was not known when this was put together; the plan ends with them.</summary>
    public IReadOnlyList<Sentence> Notes { get; init; } = [];

    /// <summary>How sentences call a planting.</summary>
    /// <param name="planting">Its id.</param>
    public string Called(string planting) => Plantings.FirstOrDefault(one => one.Id == planting)?.Called ?? planting;

    /// <summary>How sentences call a product.</summary>
    /// <param name="product">Its id.</param>
    public string ProductCalled(string product) => Products.FirstOrDefault(one => one.Id == product)?.Name ?? product;

    /// <summary>Judges single hours for a product.</summary>
    public SprayWeather WeatherFor(SprayProduct product, IReadOnlyList<ForecastHour> hours) =>
        new(product, hours, ObservedRain, AsOf, SunElevationDeg, PressureHpa, ObservedAir, Zone) { Units = Units };
}
