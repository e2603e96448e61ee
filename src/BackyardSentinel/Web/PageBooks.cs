using BackyardSentinel.Contract;
using BackyardSentinel.Storage;
using BackyardSentinel.Wording;

namespace BackyardSentinel.Web;

/// <summary>The store as the page sees it, by connections of its own: alerts and answers, the journal. Safe for several threads.</summary>
public sealed class PageBooks : IDisposable
{
    private readonly OutboxStore _outbox;
    private readonly AnswerBook _answers;
    private readonly JournalBook _journal;
    private readonly Lock _gate = new();

    private PageBooks(string path)
    {
        Path = path;
        (_outbox, _answers, _journal) = (OutboxStore.Open(path), AnswerBook.Beside(path), JournalBook.Beside(path));
    }

    /// <summary>The store's file.</summary>
    public string Path { get; }

    /// <summary>Opens them; the store must be open already.</summary>
    /// <param name="path">The store's file.</param>
    /// <exception cref="StoreException">The store cannot be used.</exception>
    public static PageBooks Beside(string path) => new(path);

    /// <summary>The alert of an id or an episode, with the answers to it; <c>null</c>: there is none.</summary>
    /// <param name="which">An id or an episode.</param>
    public ToldAlert? Alert(string which)
    {
        var rows = Alerts();
        return rows.FirstOrDefault(one => one.Message.Id == which) ?? rows.FirstOrDefault(one => one.Message.Episodes.Contains(which));
    }

    /// <summary>All alerts that were made, the newest first, each once.</summary>
    public IReadOnlyList<ToldAlert> Alerts()
    {
        IReadOnlyList<StoredAnswer> answers;
        lock (_gate)
            answers = _answers.Rows();
        return
        [
            .. _outbox.Rows()
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
        _outbox.Dispose();
        _answers.Dispose();
        _journal.Dispose();
    }
}

/// <summary>An alert as it was told, and what the grower said to it.</summary>
/// <param name="Message">The alert.</param>
/// <param name="DeliveredAt">When the first destination took it; <c>null</c>: none has.</param>
/// <param name="Answer">The last answer; <c>null</c>: none.</param>
public sealed record ToldAlert(AlertMessage Message, DateTimeOffset? DeliveredAt, StoredAnswer? Answer);
