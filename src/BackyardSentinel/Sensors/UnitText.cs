using BackyardSentinel.Garden;
using BackyardSentinel.Units;

namespace BackyardSentinel.Sensors;

/// <summary>Finds the unit that a message names for a series: behind the number, beside it, or in a SenML record.</summary>
internal static class UnitText
{
    private static readonly string[] PerHour = ["/h", "/hr", " per hour"];

    /// <summary>The unit, if what is measured can be told in it; <c>null</c>: it cannot, or the text is no unit.</summary>
    /// <param name="map">The series.</param>
    /// <param name="text">The text, without spaces around it.</param>
    public static Unit? Find(SeriesMap map, string text)
    {
        if (map.RainIsRate)
        {
            var per = Array.Find(PerHour, end => text.EndsWith(end, StringComparison.Ordinal));
            return per is null ? null : Unit.Find(Dimension.Depth, text[..^per.Length]);
        }

        return map.Quantity switch
        {
            Quantity.Temperature => Unit.Find(Dimension.Temperature, text),
            Quantity.Humidity => Unit.Find(Dimension.Share, text),
            Quantity.Rain => Unit.Find(Dimension.Depth, text),
            Quantity.WindSpeed => Unit.Find(Dimension.Speed, text),
            // Wet minutes mean nothing without the time that they are counted over, and limits hold for one scale only.
            _ when map.Unit == Unit.Minute => Unit.Find(Dimension.Raw, text) == Unit.Minute ? Unit.Minute : null,
            _ => Unit.Find(Dimension.Raw, text) is { } raw && raw != Unit.Minute ? raw : Unit.Find(Dimension.Share, text),
        };
    }
}
