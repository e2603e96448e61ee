using BackyardSentinel.Contract;
using BackyardSentinel.Storage;
using BackyardSentinel.Wording;

namespace BackyardSentinel.Web;

/// <summary>
/// The store as the page sees it, by connections of its own: alerts and answers, the journal. What was told is read by connections
/// that only read, and wait for nobody who writes. Safe for several threads.
/// </summary>
public sealed class PageBooks : IDisposable
{
    private readonly AnswerBook _answers;
    private readonly JournalBook _journal;
    private readonly Lock _gate = new();

    private PageBooks(string path)
    {
        Path = path;
        (_answers, _journal) = (AnswerBook.Beside(path), JournalBook.Beside(path));
    }

    /// <summary>The store's file.</summary>
    public string Path { get; }

    /// <summary>Opens them; the store must be open already.</summary>
    /// <param name="path">The store's file.</param>
    /// <exception cref="StoreException">The store cannot be used.</exception>
    public static PageBooks Beside(string path) => new(path);

    /// <summary>The alert of an id, or the newest of an episode, with the answer to it; <c>null</c>: there is none.</summary>
    /// <param name="which">An id or an episode.</param>
    /// <exception cref="StoreException">The store cannot be read.</exception>
    public ToldAlert? Alert(string which)
    {
        using var outbox = OutboxStore.Reading(Path);
        return Told(outbox.RowsOf(which)).FirstOrDefault()
            ?? Told(outbox.RowsAbout(which)).FirstOrDefault(one => one.Message.Episodes.Contains(which));
    }

    /// <summary>The alerts that were made after a moment, the newest first, each once.</summary>
    /// <param name="moment">The moment.</param>
    /// <exception cref="StoreException">The store cannot be read.</exception>
    public IReadOnlyList<ToldAlert> AlertsAfter(DateTimeOffset moment)
    {
        using var outbox = OutboxStore.Reading(Path);
        return Told(outbox.RowsAfter(moment.ToUnixTimeMilliseconds()));
    }

    /// <inheritdoc cref="AnswerBook.Answer"/>
    public (IReadOnlyList<string> Episodes, Sentence? Reason) Answer(string which, DateTimeOffset? until, DateTimeOffset now)
    {
        lock (_gate)
            return _answers.Answer(which, until, now);
    }

    /// <summary>Works with the journal, alone.</summary>
    /// <param name="work">The work.</param>
    public T WithJournal<T>(Func<JournalBook, T> work)
    {
        lock (_gate)
            return work(_journal);
    }

    /// <inheritdoc/>
    public void Dispose()
    {
        _answers.Dispose();
        _journal.Dispose();
    }

    private List<ToldAlert> Told(IReadOnlyList<OutboxRow> rows)
    {
        if (rows.Count == 0)
            return [];
        using var book = AnswerBook.Reading(Path);
        var answers = book.Rows();
        return
        [
            .. rows
                .GroupBy(row => row.Id)
                .Select(group => (Rows: group.ToList(), Message: AlertJson.Read(group.First().Message)))
                .Where(one => one.Message is not null)
                .Select(one => new ToldAlert(
                    one.Message!,
                    one.Rows.Where(row => row.State == OutboxState.Delivered).Select(row => (long?)row.NextMs).Min() is { } ms
                        ? DateTimeOffset.FromUnixTimeMilliseconds(ms)
                        : null,
                    answers.LastOrDefault(answer => one.Message!.Episodes.Contains(answer.Episode))))
                .OrderByDescending(one => one.Message.At),
        ];
    }
}

/// <summary>An alert as it was told, and what the grower said to it.</summary>
/// <param name="Message">The alert.</param>
/// <param name="DeliveredAt">When the first destination took it; <c>null</c>: none has.</param>
/// <param name="Answer">The last answer; <c>null</c>: none.</param>
public sealed record ToldAlert(AlertMessage Message, DateTimeOffset? DeliveredAt, StoredAnswer? Answer);
