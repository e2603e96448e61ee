using System.Globalization;
using BackyardSentinel.Logs;
using BackyardSentinel.Units;

namespace BackyardSentinel.Commands;

/// <summary>
/// Reads a moment that a person wrote on the command line: ISO 8601 with or without a zone, a day alone for its midnight,
/// and, where the garden's units say that a US grower writes, month, day and year with slashes.
/// </summary>
/// <param name="zone">The zone of local times.</param>
/// <param name="units">The garden's units.</param>
public sealed class MomentText(TimeZoneInfo zone, UnitSystem units)
{
    private static readonly string[] UsForms =
    [
        "M/d/yyyy",
        "M/d/yyyy H:mm",
        "M/d/yyyy h:mm tt",
        "M/d/yyyy h:mmtt",
        "M/d/yyyy h tt",
        "M/d/yyyy htt",
    ];

    /// <summary>What the text should have looked like, for a sentence.</summary>
    public string Example => units == UnitSystem.Us ? ", or 2/12/2027 6:30 am by the site's clock" : "";

    /// <summary>The moment, UTC.</summary>
    /// <param name="text">The text.</param>
    /// <param name="skipped">The zone's clocks went over this local time when they were put forward.</param>
    /// <returns><c>null</c>: it is none.</returns>
    public DateTimeOffset? Read(string text, out bool skipped)
    {
        var written = text.Trim();
        if (
            units == UnitSystem.Us
            && DateTime.TryParseExact(written, UsForms, CultureInfo.InvariantCulture, DateTimeStyles.None, out var local))
            written = local.ToString("yyyy-MM-dd'T'HH:mm:ss", CultureInfo.InvariantCulture);
        else if (written.Length == 10 && written[4] == '-')
            written += "T00:00:00";
        var reader = new LogTime(zone);
        var isTime = reader.TryRead(written, out var time);
        skipped = reader.WasSkipped;
        return isTime ? time : null;
    }
}
