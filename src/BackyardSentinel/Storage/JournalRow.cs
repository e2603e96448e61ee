using BackyardSentinel.Garden;

namespace BackyardSentinel.Storage;

/// <summary>One line of the journal as it was written. Lines are never changed; what holds is computed from all of them.</summary>
/// <param name="Number">Its number, from 1.</param>
/// <param name="WrittenUs">When it was written, µs since 1970 UTC.</param>
/// <param name="Entry">What it says; <c>null</c> for a withdrawal.</param>
/// <param name="Corrects">The number of the entry whose place it takes.</param>
/// <param name="Withdraws">The number of the entry it takes back.</param>
public sealed record JournalRow(long Number, long WrittenUs, JournalEntry? Entry, long? Corrects, long? Withdraws)
{
    /// <summary>The entries that hold: neither corrected nor withdrawn, by day and number.</summary>
    public static IReadOnlyList<JournalEntry> Standing(IReadOnlyList<JournalRow> rows)
    {
        HashSet<long> gone = [.. rows.Select(row => row.Corrects ?? row.Withdraws).OfType<long>()];
        return
        [
            .. rows.Where(row => row.Entry is not null && !gone.Contains(row.Number))
                .Select(row => row.Entry!)
                .OrderBy(entry => entry.On)
                .ThenBy(entry => entry.Number),
        ];
    }
}
