using Microsoft.Data.Sqlite;

namespace BackyardSentinel.Storage;

/// <summary>Why a store cannot be used, in sentences.</summary>
internal static class StoreRefusal
{
    /// <summary>
    /// The disk does not give back what was written: asking again is of no use. A start looks the file over and saves what can be read.
    /// </summary>
    public static bool IsSpoilt(Exception failure) => failure is SqliteException { SqliteErrorCode: 11 or 26 };

    /// <summary>The file is not as it was written.</summary>
    public static bool IsDamage(Exception failure) =>
        // An error in our statements is a table that is not as we made it.
        IsSpoilt(failure) || failure is SqliteException { SqliteErrorCode: 1 };

    /// <summary>What the database says, as a sentence of the store.</summary>
    /// <param name="path">The store's file; <c>null</c>: it is not known here, and a garden has one.</param>
    /// <param name="failure">What the database says.</param>
    public static StoreException Of(string? path, SqliteException failure)
    {
        var isDamage = IsDamage(failure);
        return new StoreException(Explain(path is null ? "The store" : $"The store {path}", failure), failure, isDamage)
        {
            IsDamage = isDamage,
        };
    }

    /// <summary>A damaged file that is left alone.</summary>
    /// <param name="path">The file.</param>
    /// <param name="why">What is wrong, as a clause.</param>
    public static StoreException Damaged(string path, string why) =>
        new(DamagedText($"The store {path}", why), isLasting: true) { IsDamage = true };

    private static string DamagedText(string store, string why) =>
        $"{store} cannot be read: {why}. Nothing in it was changed. Start the service anew, which saves what can be read, "
            + "or put a backup in its place by 'restore'.";

    private static string Explain(string store, SqliteException failure) => failure.SqliteErrorCode switch
    {
        1 or 11 or 26 => DamagedText(store, "it is not a database or is damaged"),
        5 or 6 => $"{store} is in use by another program. Is another copy running?",
        8 => $"{store} cannot be written: the file or the disk is read-only.",
        10 =>
            $"{store} cannot be read or written: the disk gives an error. Look at its cables or card, and at the system's log.",
        13 => $"{store} cannot be written: the disk is full.",
        14 => $"{store} cannot be opened. Does its folder exist, and may this user write there?",
        _ => $"{store} cannot be opened: {failure.Message}",
    };
}
