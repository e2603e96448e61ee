using System.Globalization;
using BackyardSentinel.Garden;
using BackyardSentinel.Weather;
using nietras.SeparatedValues;

namespace BackyardSentinel.Logs;

/// <summary>
/// Readings out of a store as CSV, in SI units and UTC. A row holds what the sensors of one place in the order of preference
/// said at one time; a row that says <see cref="Stopped"/> tells that the service stopped listening then.
/// </summary>
public static class ReadingsFile
{
    /// <summary>What stands under <c>listening</c> where listening stopped.</summary>
    public const string Stopped = "stopped";

    /// <summary>How a time is written: as many digits behind the second as it needs.</summary>
    public const string TimeForm = "yyyy-MM-dd'T'HH:mm:ss.FFFFFF'Z'";

    /// <summary>The columns by which such a file is known.</summary>
    public static IReadOnlyList<string> Keys { get; } = ["time", "received", "site", "place"];

    /// <summary>The column of each quantity, in the order of <see cref="Quantity"/>.</summary>
    public static IReadOnlyList<string> Values { get; } = [.. Quantities.All.Select(of => of.Column)];

    /// <summary>The whole header.</summary>
    public static string Header => string.Join(',', [.. Keys, .. Values, "listening"]);

    /// <summary>Reads a file.</summary>
    /// <param name="path">The file.</param>
    /// <param name="file">Its place in the list of files.</param>
    /// <param name="site">The site whose rows are taken.</param>
    /// <param name="into">Gets the readings.</param>
    /// <param name="stops">Gets the moments at which listening stopped.</param>
    /// <param name="reject">Told each row that cannot be taken.</param>
    /// <returns>Rows read, those of other sites and rejected ones included.</returns>
    /// <exception cref="LogProblemException">The file cannot be read.</exception>
    public static long Read(
        string path,
        int file,
        string? site,
        List<LoggedReading> into,
        List<DateTimeOffset> stops,
        Action<RejectedRow> reject)
    {
        long rows = 0;
        foreach (var (line, fields) in Rows(path))
        {
            rows++;
            if (site is not null && fields["site"] != site)
                continue;
            if (Refusal(fields, line, file, into, stops) is { } reason)
                reject(new RejectedRow(path, line, reason));
        }

        return rows;
    }

    /// <summary>The sites that a file has rows of.</summary>
    /// <param name="path">The file.</param>
    /// <exception cref="LogProblemException">The file cannot be read.</exception>
    public static IReadOnlyList<string> SitesIn(string path) =>
        [.. Rows(path).Select(row => row.Fields["site"]).Where(site => site.Length > 0).Distinct()];

    private static string? Refusal(
        IReadOnlyDictionary<string, string> fields,
        long line,
        int file,
        List<LoggedReading> into,
        List<DateTimeOffset> stops)
    {
        if (!TryMoment(fields["time"], out var time))
            return $"\"{LogExcerpt.Of(fields["time"])}\" is not a time such as 2027-02-01T06:00:00Z";
        if (fields.GetValueOrDefault("listening") is { Length: > 0 } word)
        {
            if (word != Stopped)
                return $"listening is \"{LogExcerpt.Of(word)}\"; it is empty or {Stopped}";
            stops.Add(time);
            return null;
        }

        if (fields["place"].Length == 0)
            return null; // Of a sensor that is no longer in the garden file: the service does not judge it either.
        if (!int.TryParse(fields["place"], NumberStyles.None, CultureInfo.InvariantCulture, out var place) || place is < 1 or > 1000)
            return $"place is \"{LogExcerpt.Of(fields["place"])}\"; it is 1 for the sensor that is preferred, 2 for the next";
        if (!TryMoment(fields["received"], out var received))
            return $"\"{LogExcerpt.Of(fields["received"])}\" under received is not a time such as 2027-02-01T06:00:00Z";
        string? fault = null;
        for (var i = 0; i < Values.Count; i++)
        {
            if (fields.GetValueOrDefault(Values[i]) is not { Length: > 0 } text)
                continue;
            if (double.TryParse(text, NumberStyles.Float, CultureInfo.InvariantCulture, out var value) && double.IsFinite(value))
                into.Add(new LoggedReading(Sensed(fields["site"], (Quantity)i, place, time, value, received), file, line));
            else
                fault = $"{Values[i]} \"{LogExcerpt.Of(text)}\" is not a number";
        }

        return fault;
    }

    private static SensedReading Sensed(
        string site, Quantity quantity, int place, DateTimeOffset time, double value, DateTimeOffset received) =>
        new(
            site,
            string.Create(CultureInfo.InvariantCulture, $"{quantity.Word()} {place}"),
            new Reading(quantity, time, value, default, place - 1),
            received);

    private static bool TryMoment(string text, out DateTimeOffset moment) =>
        DateTimeOffset.TryParseExact(text, TimeForm, CultureInfo.InvariantCulture, DateTimeStyles.AssumeUniversal, out moment)
        && moment.Year is >= 1971 and < 2200;

    private static IEnumerable<(long Line, IReadOnlyDictionary<string, string> Fields)> Rows(string path)
    {
        using var text = new StreamReader(LogFiles.Open(path));
        using var limit = new RowLimitReader(text);
        using var reader = Sep.Reader(o => o with { HasHeader = false, Unescape = true, DisableColCountCheck = true }).From(limit);
        List<string> header = [];
        Dictionary<string, string> fields = new(StringComparer.Ordinal);
        while (Next(reader, limit, path))
        {
            var row = reader.Current;
            if (header.Count == 0)
            {
                for (var i = 0; i < row.ColCount; i++)
                    header.Add(row[i].ToString().Trim('\uFEFF', ' '));
                if (header.Distinct().Count() < header.Count)
                    throw new LogProblemException($"{path}: a name stands twice in the header; each column has a name of its own.");
                // What was known by its beginning can be of one column all the same: by a blank line before, or marks that differ.
                if (Keys.FirstOrDefault(key => !header.Contains(key)) is { } missing)
                    throw new LogProblemException(
                        $"{path}: the first line has no column \"{missing}\" of its own; "
                            + $"it begins with {string.Join(',', Keys)}, and the same mark stands between all columns.");
                continue;
            }

            if (row.ColCount == 1 && row.Span.IsWhiteSpace())
                continue;
            fields.Clear();
            for (var i = 0; i < header.Count; i++)
                fields[header[i]] = i < row.ColCount ? row[i].ToString().Trim() : "";
            yield return (row.LineNumberFrom, fields);
        }
    }

    private static bool Next(SepReader reader, RowLimitReader limit, string path)
    {
        limit.RowEnded();
        try
        {
            return reader.MoveNext();
        }
        catch (Exception e) when (e is IOException or InvalidDataException or NotSupportedException or ArgumentException)
        {
            throw new LogProblemException(
                $"{path}: reading stopped ({LogExcerpt.OneLine(e.Message).TrimEnd('.')}). The file is damaged, cut off, "
                    + "or a quote in it is never closed; write it again.");
        }
    }
}
