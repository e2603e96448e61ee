using BackyardSentinel.Sensors;
using Microsoft.Data.Sqlite;

namespace BackyardSentinel.Tests.Storage;

/// <summary>
/// Journals as no program of ours writes them. What JSON text may hold: RFC 8259, 7 and 8.2; marks of direction: Unicode Standard Annex
/// 9.
/// </summary>
public sealed class HostileJournalTests : IDisposable
{
    private readonly string _folder = Directory.CreateTempSubdirectory("sentinel-hostile-journal-").FullName;

    private string Store => Path.Combine(_folder, "sentinel.db");

    public void Dispose() => Directory.Delete(_folder, recursive: true);

    [Theory]
    [InlineData("""{"on":"0001-01-01","planting":"p","kind":"stage","code":1}""", "is the year right")]
    [InlineData("""{"on":"9999-12-31","planting":"p","kind":"stage","code":1}""", "is the year right")]
    [InlineData("""{"on":"2027-02-01","planting":"\ud800","kind":"pick"}""", "not valid Unicode")]
    [InlineData("""{"on":"2027-02-01","planting":"p","kind":"pick","note":"\udc00"}""", "not valid Unicode")]
    [InlineData("""{"on":"2027-02-01","planting":"p\u001b[31m","kind":"pick"}""", "cannot be shown")]
    [InlineData("""{"on":"2027-02-01","planting":"p","kind":"spray","product":"x","volume_l":1e400}""", "1e400")]
    [InlineData("""{"on":"2027-02-01","planting":"p","kind":"scout","shoots":20.5,"curled":1}""", "whole number")]
    [InlineData("null", "an entry is an object")]
    [InlineData("[[[[", "no JSON object")]
    public void A_line_that_cannot_be_taken_is_left_out_with_a_sentence(string line, string why)
    {
        var (entries, findings) = Read(line + "\n{\"on\":\"2027-02-01\",\"planting\":\"p\",\"kind\":\"pick\"}\n");

        Assert.Single(entries);
        Assert.Contains(why, Assert.Single(findings), StringComparison.Ordinal);
        Assert.DoesNotContain(findings[0], char.IsControl);
    }

    [Fact]
    public void No_two_entries_have_one_number()
    {
        var (entries, findings) = Read("""
            {"on":"2027-02-01","planting":"p","kind":"pick"}
            {"number":2,"on":"2027-02-02","planting":"p","kind":"pick"}
            {"number":2,"on":"2027-02-03","planting":"p","kind":"pick"}
            {"number":-9223372036854775808,"on":"2027-02-04","planting":"p","kind":"pick"}
            """);

        Assert.Equal([1L, 2, 3], entries.Select(entry => entry.Number));
        Assert.Contains("number 2", Assert.Single(findings), StringComparison.Ordinal);
    }

    [Fact]
    public void A_file_of_another_kind_is_not_listed_line_by_line()
    {
        var few = Read(string.Concat(Enumerable.Repeat("x\n", 150)));
        Assert.Equal(101, few.Findings.Count);
        Assert.Contains("50 more", few.Findings[^1], StringComparison.Ordinal);

        Assert.Contains(
            "right file",
            Assert.Throws<StoreException>(() => Read(string.Concat(Enumerable.Repeat("x\n", 5000)))).Message,
            StringComparison.Ordinal);
        Assert.Contains(
            "right file",
            Assert
                .Throws<StoreException>(() =>
                    Read(string.Concat(Enumerable.Repeat("{\"on\":\"2027-02-01\",\"planting\":\"p\",\"kind\":\"pick\"}\n", 10_001))))
                .Message,
            StringComparison.Ordinal);
    }

    [Theory]
    [InlineData("{")]
    [InlineData("null")]
    [InlineData("\"\\ud800\"")]
    [InlineData("""{"on":"2027-02-31","planting":"p","kind":"pick"}""")]
    public void A_damaged_row_of_the_store_does_not_hide_the_others(string damaged)
    {
        using var book = JournalBook.Open(Store);
        var now = new DateTimeOffset(2027, 4, 1, 12, 0, 0, TimeSpan.Zero);
        var entry = new PickEntry(0, "yard", "peach", new DateOnly(2027, 3, 1));
        var first = book.Add(entry, now);
        var second = book.Add(entry, now);
        using (var other = new SqliteConnection($"Data Source={Store};Pooling=false"))
        {
            other.Open();
            other.CreateFunction("row_sum", (object?[] values) => SampleStore.Sum(values));
            using var damage = other.CreateCommand();
            damage.CommandText = "update journal set json = $a where number = $b";
            damage.Parameters.AddWithValue("$a", damaged);
            damage.Parameters.AddWithValue("$b", first);
            damage.ExecuteNonQuery();
        }

        Assert.Equal([entry with { Number = second }], JournalRow.Standing(book.Rows()));
    }

    [Theory]
    [InlineData("a\u001b[31mb", "a\\u001B[31mb")]
    [InlineData("a\u202eb", "a\\u202Eb")]
    [InlineData("a\nb\u009b", "a\\u000Ab\\u009B")]
    [InlineData("näh, \U0001F351 …", "näh, \U0001F351 …")]
    public void What_would_steer_a_terminal_is_shown_as_its_code(string words, string shown) =>
        Assert.Equal(shown, TerminalText.Plain(words));

    [Theory]
    [InlineData("""{"episode":"\ud800","kind":"seen"}""")]
    [InlineData("""{"episode":"x","kind":"\udc00"}""")]
    [InlineData("""{"episode":"x","kind":"later","for":"\ud800h"}""")]
    [InlineData("[[[[[[[[")]
    [InlineData("")]
    public void An_answer_of_any_bytes_gives_a_reason_and_no_exception(string payload)
    {
        var (answer, reason) = AnswerPayload.Read(System.Text.Encoding.UTF8.GetBytes(payload));

        Assert.Null(answer);
        Assert.Contains("an answer looks like", reason, StringComparison.Ordinal);
    }

    private (IReadOnlyList<JournalEntry> Entries, List<string> Findings) Read(string text)
    {
        var path = Path.Combine(_folder, "journal.jsonl");
        File.WriteAllText(path, text);
        List<string> findings = [];
        return (JournalFile.Read(path, "yard", findings), findings);
    }
}
