using BackyardSentinel.Alerting;
using BackyardSentinel.Contract;
using Microsoft.Data.Sqlite;

namespace BackyardSentinel.Storage;

/// <summary>What an answer is about, and that it is written whole or not at all.</summary>
public sealed class AnswerBookTests : StoreBench
{
    [Fact]
    public void An_answer_counts_for_all_that_its_message_tells()
    {
        Fill();
        using var book = AnswerBook.Open(File);

        Assert.Equal(["a"], book.Answer("first", null, Begin).Episodes);
        Assert.Equal(["a", "b"], book.Answer("second", null, Begin).Episodes);
        // By the episode it cannot be told which of the two is meant.
        Assert.Equal(["a", "b"], book.Answer("a", null, Begin).Episodes);
        Assert.Equal(["b", "c"], book.Answer("summary", Begin.AddHours(6), Begin).Episodes);
        // This one has no message of its own.
        Assert.Equal(["c"], book.Answer("c", Begin.AddHours(6), Begin).Episodes);

        var until = Begin.AddHours(6).ToUnixTimeMilliseconds();
        Assert.Equal(
            [
                ("a", "seen", null), ("a", "seen", null), ("b", "seen", null), ("a", "seen", null), ("b", "seen", null),
                ("b", "later", until), ("c", "later", until), ("c", "later", until),
            ],
            book.Rows().Select(row => (row.Episode, row.Kind, row.UntilMs)));
    }

    [Fact]
    public void An_id_goes_before_an_episode()
    {
        Fill(Row("a", "z", 3));
        using var book = AnswerBook.Open(File);

        Assert.Equal(["z"], book.Answer("a", null, Begin).Episodes);
    }

    [Fact]
    public void A_message_that_cannot_be_read_any_more_is_answered_by_its_episode()
    {
        Fill();
        using var book = AnswerBook.Open(File);

        Assert.Equal(["old"], book.Answer("unreadable", null, Begin).Episodes);
    }

    [Theory]
    [InlineData("d", "d")]
    [InlineData("b\nc", "b\\u000Ac")]
    [InlineData("", "")]
    [InlineData("%", "%")]
    public void What_nobody_knows_is_told_and_not_written(string which, string shown)
    {
        Fill();
        using var book = AnswerBook.Open(File);

        var (episodes, reason) = book.Answer(which, null, Begin);

        Assert.Empty(episodes);
        Assert.Equal($"no alert has the id or the episode \"{shown}\", so there is nothing to answer", reason!.Text);
        Assert.Empty(book.Rows());
    }

    [Fact]
    public void Where_the_second_episode_cannot_be_written_none_is()
    {
        Fill();
        using var book = AnswerBook.Open(File);
        Run("create trigger full before insert on answers when new.episode = 'c' begin select raise(abort, 'full'); end");

        Assert.Throws<SqliteException>(() => book.Answer("summary", null, Begin));
        Assert.Empty(book.Rows());

        Run("drop trigger full");
        book.Answer("summary", null, Begin);
        Assert.Equal(["b", "c"], book.Rows().Select(row => row.Episode));
    }

    private void Fill(params OutboxRow[] more)
    {
        using var store = SentinelStore.Open(File);
        var batch = new StoreBatch();
        batch.Outbox.AddRange([Row("first", "a", 0), Row("second", "a", 1, "a\nb"), Row("summary", "summary", 2, "b\nc"), .. more]);
        batch.Outbox.Add(new OutboxRow("unreadable", "phone", "old", 0, 0, "{}"));
        store.Commit(batch);
    }

    private void Run(string sql)
    {
        using var other = new SqliteConnection($"Data Source={File};Pooling=False");
        other.Open();
        using var command = other.CreateCommand();
        command.CommandText = sql;
        command.ExecuteNonQuery();
    }

    private static OutboxRow Row(string id, string episode, int hour, string? several = null)
    {
        var message = new AlertMessage(
            id, episode, "yard", [], "summary", null, Urgency.Normal, Begin.AddHours(hour), Begin.AddDays(1), "title", "text",
            several is null ? AlertMessage.NoFacts : new Dictionary<string, string> { [AlertMessage.EpisodesFact] = several });
        return new OutboxRow(
            id, "phone", episode, message.At.ToUnixTimeMilliseconds(), message.UsefulUntil.ToUnixTimeMilliseconds(),
            Encoding.UTF8.GetString(AlertJson.Write(message)));
    }
}
