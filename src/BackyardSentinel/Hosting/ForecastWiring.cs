using BackyardSentinel.Configuration;
using BackyardSentinel.Ingest;

namespace BackyardSentinel.Hosting;

/// <summary>Turns the garden file's words about the forecast into what reads it.</summary>
public static class ForecastWiring
{
    /// <summary>The map; <c>null</c>: the source speaks the program's own form.</summary>
    public static ForecastMap? Map(ForecastSettings settings)
    {
        if (settings.Shape is not { } shape)
            return null;
        return new ForecastMap
        {
            Shape = shape switch
            {
                "columns" => ForecastShape.Columns,
                "records" => ForecastShape.Records,
                "layers" => ForecastShape.Layers,
                "senml" => ForecastShape.Senml,
                _ => ForecastShape.List,
            },
            Source = settings.Name,
            Quantities = [.. settings.Quantities.Select(Field)],
            Rows = settings.RowsPath,
            Time = settings.TimePath,
            Value = settings.ValuePath,
            TimeZone = settings.Zone,
            Issued = settings.IssuedPath,
            Attribution = settings.Attribution,
            Licence = settings.Licence,
        };
    }

    /// <summary>The address that is polled, with the contact that goes with each request.</summary>
    /// <param name="settings">The garden file's settings, of source http.</param>
    /// <exception cref="ReceiverProblemException">The address cannot be fetched or is none.</exception>
    public static ForecastSource Source(ForecastSettings settings)
    {
        if (!settings.Url!.TryResolve(out var url, out var reason))
            throw new ReceiverProblemException($"The forecast's url cannot be had: {reason}.");
        return Uri.TryCreate(url, UriKind.Absolute, out var address) && (address.Scheme is "http" or "https")
            ? new ForecastSource(address, settings.Contact ?? "", settings.Every)
            : throw new ReceiverProblemException("The forecast's url does not begin with https:// or http://.");
    }

    private static ForecastField Field(ForecastQuantitySettings settings) => new(
        settings.Quantity switch
        {
            "temperature" => ForecastQuantity.Temperature,
            "humidity" => ForecastQuantity.Humidity,
            "rain" => ForecastQuantity.Rain,
            "rain-probability" => ForecastQuantity.RainProbability,
            "wind-speed" => ForecastQuantity.WindSpeed,
            _ => ForecastQuantity.Cloud,
        },
        settings.Path,
        GardenWiring.UnitOf(settings.Unit),
        settings.Scale,
        settings.Kind switch
        {
            "sum" => ForecastKind.Sum,
            "mean" => ForecastKind.Mean,
            _ => ForecastKind.Instant,
        },
        settings.Period switch
        {
            "previous" => ForecastPeriod.Previous,
            "interval" => ForecastPeriod.Interval,
            _ => ForecastPeriod.Next,
        },
        settings.Hours,
        settings.UnitPath);
}
