using System.Globalization;
using BackyardSentinel.Weather;
using BackyardSentinel.Wording;

namespace BackyardSentinel.Sensors;

/// <summary>A reading and the series it belongs to.</summary>
/// <param name="Series">The series.</param>
/// <param name="Reading">The reading, in canonical units.</param>
/// <param name="TellsTime">Its time is the sensor's own; otherwise that of its arrival, and no two arrivals are one reading.</param>
public readonly record struct SeriesReading(SeriesMap Series, Reading Reading, bool TellsTime);

/// <summary>The rain total a series stood at; kept so that the next difference is right after a restart.</summary>
/// <param name="Series">The series' name.</param>
/// <param name="TotalMm">The total, mm.</param>
/// <param name="Time">The time of that total, UTC.</param>
public readonly record struct RainTotal(string Series, double TotalMm, DateTimeOffset Time);

/// <summary>What kind of thing there is to say about a message.</summary>
public enum RemarkKind
{
    /// <summary>A reading was taken, but not quite as sent.</summary>
    Note,

    /// <summary>No reading, and nothing wrong: missing marker, retained of unknown age, field not in this message, cleared.</summary>
    NoReading,

    /// <summary>The message or one value of it could not be taken and is kept aside.</summary>
    Refused,
}

/// <summary>Something to say about a message or one series of it.</summary>
/// <param name="Kind">How serious.</param>
/// <param name="Series">The series' name; <c>null</c> for the whole message.</param>
/// <param name="Reason">A sentence part.</param>
public readonly record struct PayloadRemark(RemarkKind Kind, string? Series, Sentence Reason);

/// <summary>What one message gave: readings, or reasons why not.</summary>
public sealed class PayloadResult
{
    /// <summary>The readings, in the order of the series.</summary>
    public List<SeriesReading> Readings { get; } = [];

    /// <summary>New rain totals to store with them.</summary>
    public List<RainTotal> Totals { get; } = [];

    /// <summary>What series tell of their batteries, as sent.</summary>
    public List<(SeriesMap Series, double Level)> Batteries { get; } = [];

    /// <summary>What there is to say.</summary>
    public List<PayloadRemark> Remarks { get; } = [];

    private const int MostRemarks = 100;
    private const int LongestReason = 600;

    /// <summary>Says something once; a batch repeats itself, and what a hundred remarks do not tell none will.</summary>
    /// <param name="kind">How serious.</param>
    /// <param name="series">The series' name; <c>null</c> for the whole message.</param>
    /// <param name="reason">A sentence part.</param>
    internal void Say(RemarkKind kind, string? series, Sentence reason)
    {
        if (Remarks.Count >= MostRemarks && (kind != RemarkKind.Refused || QuarantineReason is not null))
            return;
        var remark = new PayloadRemark(kind, series, Clean(reason));
        if (!Remarks.Contains(remark))
            Remarks.Add(remark);
    }

    /// <summary>
    /// A reason may repeat names from the message; what would move a terminal's cursor or turn its text round is not among them.
    /// </summary>
    private static Sentence Clean(Sentence reason) =>
        (reason.Text.Length > LongestReason ? Sentence.InEnglish(reason.Text[..LongestReason] + "…") : reason)
            .Fit(text => text.Any(IsUnseen) ? string.Concat(text.Select(c => IsUnseen(c) ? '?' : c)) : text);

    private static bool IsUnseen(char c) =>
        char.IsControl(c)
        || char.GetUnicodeCategory(c)
            is UnicodeCategory.Format
                or UnicodeCategory.LineSeparator
                or UnicodeCategory.ParagraphSeparator;

    /// <summary>Why the message must be kept aside; <c>null</c> if nothing of it was refused.</summary>
    public Sentence? QuarantineReason
    {
        get
        {
            foreach (var remark in Remarks)
            {
                if (remark.Kind == RemarkKind.Refused)
                    return remark.Reason;
            }

            return null;
        }
    }
}
