using System.Globalization;
using System.Text;
using System.Xml;
using BackyardSentinel.Sensors;
using BackyardSentinel.Weather;

namespace BackyardSentinel.Forecasts;

/// <summary>
/// Reads the times of a forecast's rows. Local times without an offset are placed by their order, because in the night
/// the clocks go back one hour comes twice and nothing but the order tells which is which.
/// </summary>
internal sealed class ForecastTimes(TimeZoneInfo? zone, ForecastRemarks remarks)
{
    private static readonly string[] LocalForms =
    [
        "yyyy-MM-dd'T'HH:mm",
        "yyyy-MM-dd'T'HH:mm:ss",
        "yyyy-MM-dd HH:mm",
        "yyyy-MM-dd HH:mm:ss",
        "yyyy-MM-dd'T'HH:mm:ss.FFFFFFF",
        "yyyy-MM-dd",
    ];

    private static readonly TimeSpan LongestPeriod = TimeSpan.FromDays(10);

    /// <summary>The moments of the rows in their order; <c>null</c> where a time is missing or cannot be taken.</summary>
    public DateTimeOffset?[] Read(IReadOnlyList<string?> texts)
    {
        var moments = new DateTimeOffset?[texts.Count];
        var locals = new DateTime?[texts.Count];
        for (var i = 0; i < texts.Count; i++)
        {
            if (texts[i] is not { } text)
                remarks.Add("a row without a time was left out");
            else if (TimeReader.TryRead(text, out var time, out var reason))
                moments[i] = time;
            else if (!DateTime.TryParseExact(text.Trim(), LocalForms, CultureInfo.InvariantCulture, DateTimeStyles.None, out var local))
                remarks.Add($"{reason}; its row was left out");
            else if (zone is null)
                remarks.Add($"{Quote(text)} has no offset: name the zone of the source's times");
            else
                locals[i] = local;
        }

        if (zone is not null) Place(zone, locals, moments);
        return moments;
    }

    /// <summary>Reads one time alone.</summary>
    public DateTimeOffset? ReadOne(string? text) => Read([text])[0];

    /// <summary>Splits an ISO 8601 interval, a start followed by a length or an end; a plain time has no length.</summary>
    /// <returns>The text of the start, and the length once the start is known; <c>null</c> for none.</returns>
    public (string? Start, Func<DateTimeOffset, TimeSpan?> Length) Split(string? text)
    {
        if (text is null || text.IndexOf('/', StringComparison.Ordinal) is not (>= 0 and var slash)) return (text, _ => null);
        var rest = text[(slash + 1)..];
        return (text[..slash], start => Length(start, rest));
    }

    private TimeSpan? Length(DateTimeOffset start, string rest)
    {
        TimeSpan? length = null;
        try
        {
            if (!rest.StartsWith('P')) length = new ForecastTimes(zone, new ForecastRemarks()).ReadOne(rest) - start;
            else if (rest.Length <= 20) length = XmlConvert.ToTimeSpan(rest); // xs:duration is the ISO 8601 form
        }
        catch (Exception notOne) when (notOne is FormatException or OverflowException)
        {
            // Said below.
        }

        if (length is { } known && known > TimeSpan.Zero && known <= LongestPeriod) return known;
        remarks.Add($"{Quote(rest)} is no length of time above 0 and up to 10 days; the field's own period is taken");
        return null;
    }

    private void Place(TimeZoneInfo zone, DateTime?[] locals, DateTimeOffset?[] moments)
    {
        var left = new Dictionary<DateTime, int>();
        foreach (var local in locals)
        {
            if (local is { Year: > 1900 and < 2200 } known && LocalClock.Moments(known, zone) is { } two && two.First < two.Last)
                left[known] = left.GetValueOrDefault(known) + 1;
        }

        DateTimeOffset? previous = null;
        for (var i = 0; i < locals.Length; i++)
        {
            if (locals[i] is { Year: > 1900 and < 2200 } local)
            {
                if (LocalClock.Moments(local, zone) is not { } shown)
                    remarks.Add(
                        string.Create(
                            CultureInfo.InvariantCulture,
                            $"{local:yyyy-MM-dd HH:mm} does not exist in {zone.Id}, "
                                + $"where the clocks are put forward; its row was left out"));
                else if (shown.First == shown.Last)
                    moments[i] = shown.First;
                else if (previous is null)
                    moments[i] = --left[local] > 0 ? shown.First : shown.Last; // The list begins within the hour that comes twice.
                else
                    moments[i] = shown.First > previous ? shown.First : shown.Last;
            }

            previous = moments[i] ?? previous;
        }
    }

    private static string Quote(string text) => NumberReader.Quote(Encoding.UTF8.GetBytes(text));
}
