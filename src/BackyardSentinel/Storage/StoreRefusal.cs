using Microsoft.Data.Sqlite;

namespace BackyardSentinel.Storage;

/// <summary>Why a store cannot be used, in sentences.</summary>
internal static class StoreRefusal
{
    /// <summary>What the database says, as a sentence of the store.</summary>
    public static StoreException Of(string path, SqliteException failure)
    {
        // An error in our statements is a table that is not as we made it.
        var isDamage = failure.SqliteErrorCode is 1 or 11 or 26;
        return new StoreException(Explain(path, failure), failure, isDamage) { IsDamage = isDamage };
    }

    /// <summary>A damaged file that is left alone.</summary>
    /// <param name="path">The file.</param>
    /// <param name="why">What is wrong, as a clause.</param>
    public static StoreException Damaged(string path, string why) => new(DamagedText(path, why), isLasting: true) { IsDamage = true };

    private static string DamagedText(string path, string why) =>
        $"The store {path} cannot be read: {why}. Nothing in it was changed. Start the service, which saves what can be read, "
            + "or put a backup in its place by 'restore'.";

    private static string Explain(string path, SqliteException failure) => failure.SqliteErrorCode switch
    {
        1 or 11 or 26 => DamagedText(path, "it is not a database or is damaged"),
        5 or 6 => $"The store {path} is in use by another program. Is another copy running?",
        8 => $"The store {path} cannot be written: the file or the disk is read-only.",
        10 =>
            $"The store {path} cannot be read or written: the disk gives an error. Look at its cables or card, and at the system's log.",
        13 => $"The store {path} cannot be written: the disk is full.",
        14 => $"The store {path} cannot be opened. Does its folder exist, and may this user write there?",
        _ => $"The store {path} cannot be opened: {failure.Message}",
    };
}
