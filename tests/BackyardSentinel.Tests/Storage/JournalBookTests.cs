namespace BackyardSentinel.Tests.Storage;

public sealed class JournalBookTests : IDisposable
{
    private static readonly DateTimeOffset Now = new(2027, 4, 1, 12, 0, 0, TimeSpan.Zero);
    private static readonly DateOnly Day = new(2027, 3, 10);
    private readonly string _folder = Directory.CreateTempSubdirectory("sentinel-journal-").FullName;

    private string Store => Path.Combine(_folder, "sentinel.db");

    public void Dispose() => Directory.Delete(_folder, recursive: true);

    public static TheoryData<JournalEntry> EveryKind =>
    [
        new StageEntry(1, "yard", "peach", Day, 9),
        new SprayEntry(1, "yard", "peach", Day, "copper", 4.5, 7.25, new TimeOnly(14, 30)),
        new SprayEntry(1, "yard", "peach", Day, "copper", 4.5),
        new ScoutEntry(1, "yard", "peach", Day, 20, 3, SymptomStage.Curled),
        new ScoutEntry(1, "yard", "peach", Day, 20, 0) { Note = "all \"fine\", näh" },
        new PickEntry(1, "yard", "peach", Day),
        new LeafFallEntry(1, "yard", "peach", Day, 87.5),
        new ShelterEntry(1, "yard", "peach", Day, true),
        new ShelterEntry(1, "yard", "peach", Day, false),
    ];

    [Fact]
    public void No_kind_of_entry_is_missing_among_the_examples() =>
        Assert.Equal(JournalEntry.Kinds.Order(), EveryKind.Select(row => row.Data.Kind).Distinct().Order());

    [Theory]
    [MemberData(nameof(EveryKind))]
    public void An_entry_of_every_kind_comes_back_as_it_was_written(JournalEntry entry)
    {
        using var book = JournalBook.Open(Store);

        Assert.Equal(1, book.Add(entry, Now));
        Assert.Equal([entry], JournalRow.Standing(book.Rows()));
    }

    [Fact]
    public void A_correction_takes_the_place_and_the_history_keeps_both()
    {
        using var book = JournalBook.Open(Store);
        var first = book.Add(new StageEntry(0, "yard", "peach", Day, 9), Now);
        var second = book.Add(new StageEntry(0, "yard", "peach", Day.AddDays(-2), 3), Now, corrects: first);

        Assert.Equal([new StageEntry(second, "yard", "peach", Day.AddDays(-2), 3)], JournalRow.Standing(book.Rows()));
        Assert.Equal(2, book.Rows().Count);
        Assert.Equal(second, book.LastNumber());
    }

    [Fact]
    public void A_withdrawn_entry_no_longer_holds_and_stays_in_the_history()
    {
        using var book = JournalBook.Open(Store);
        var number = book.Add(new PickEntry(0, "yard", "peach", Day), Now);
        book.Withdraw(new PickEntry(number, "yard", "peach", Day), Now);

        Assert.Empty(JournalRow.Standing(book.Rows()));
        Assert.Equal([null, 1L], book.Rows().Select(row => row.Withdraws));
    }

    [Fact]
    public void Entries_hold_in_the_order_of_their_days_whenever_they_were_written()
    {
        using var book = JournalBook.Open(Store);
        book.Add(new StageEntry(0, "yard", "peach", Day.AddDays(5), 9), Now);
        book.Add(new StageEntry(0, "yard", "peach", Day, 3), Now);

        Assert.Equal([2L, 1L], JournalRow.Standing(book.Rows()).Select(entry => entry.Number));
    }

    [Fact]
    public void The_service_may_hold_the_store_while_the_grower_writes()
    {
        using var alone = StoreLock.Hold(Store);
        using var store = SentinelStore.Open(Store);
        using var book = JournalBook.Open(Store);
        using var seen = JournalBook.Open(Store);
        book.Add(new PickEntry(0, "yard", "peach", Day), Now);

        Assert.Equal(1, seen.LastNumber());
    }

    [Theory]
    [InlineData("{\"on\":\"2027-03-10\",\"planting\":\"peach\",\"kind\":\"stage\",\"code\":9}\n")]
    [InlineData(
        "\uFEFF{\"entries\":[{\"number\":1,\"on\":\"2027-03-10\",\"site\":\"yard\",\"planting\":\"peach\",\"kind\":\"stage\",\"code\":9}]}"
    )]
    [InlineData("\r\n{\"on\":\"2027-03-10\",\"planting\":\"peach\",\"kind\":\"stage\",\"code\":9}\r\n\r\n")]
    public void A_file_of_entries_is_read_as_lines_or_as_one_object(string text)
    {
        Assert.Equal([new StageEntry(1, "yard", "peach", Day, 9)], Read(text, out var findings));
        Assert.Empty(findings);
    }

    [Theory]
    [InlineData("stage 9 on 10 March", "line 1: this is no JSON object")]
    [InlineData(
        "{\"on\":\"10.3.2027\",\"planting\":\"peach\",\"kind\":\"stage\",\"code\":9}",
        "\"on\" is \"10.3.2027\", which is no day such as"
    )]
    [InlineData("{\"on\":\"2027-02-30\",\"planting\":\"peach\",\"kind\":\"stage\",\"code\":9}", "which is no day such as")]
    [InlineData("{\"on\":\"2027-03-10\",\"kind\":\"stage\",\"code\":9}", "\"planting\" is missing")]
    [InlineData("{\"on\":\"2027-03-10\",\"planting\":\"peach\",\"kind\":\"prune\"}", "\"kind\" is \"prune\"; known are stage, spray")]
    [InlineData("{\"on\":\"2027-03-10\",\"planting\":\"peach\",\"kind\":\"stage\"}", "\"code\" is missing")]
    [InlineData(
        "{\"on\":\"2027-03-10\",\"planting\":\"peach\",\"kind\":\"stage\",\"code\":\"9\"}",
        "\"code\" is \"9\"; it is a number from 0 to 99"
    )]
    [InlineData("{\"on\":\"2027-03-10\",\"planting\":\"peach\",\"kind\":\"spray\",\"volume_l\":5}", "\"product\" is missing")]
    [InlineData(
        "{\"on\":\"2027-03-10\",\"planting\":\"peach\",\"kind\":\"spray\",\"product\":\"copper\",\"volume_l\":-5}",
        "\"volume_l\" is -5; it is a number from 0.001"
    )]
    [InlineData(
        "{\"on\":\"2027-03-10\",\"planting\":\"peach\",\"kind\":\"spray\",\"product\":\"copper\",\"volume_l\":5,\"at\":\"2 pm\"}",
        "it is a local time such as \"14:30\""
    )]
    [InlineData(
        "{\"on\":\"2027-03-10\",\"planting\":\"peach\",\"kind\":\"scout\",\"shoots\":20,\"curled\":21}",
        "\"curled\" is 21; it is a number from 0 to 20"
    )]
    [InlineData(
        "{\"on\":\"2027-03-10\",\"planting\":\"peach\",\"kind\":\"scout\",\"shoots\":20,\"curled\":2,\"symptom\":\"red\"}",
        "known are puckered, curled, white-bloom, dropping"
    )]
    [InlineData("{\"on\":\"2027-03-10\",\"planting\":\"peach\",\"kind\":\"leaf-fall\",\"fallen_pct\":140}", "it is a number from 0 to 100")]
    [InlineData("[1]", "an entry is an object such as")]
    public void An_entry_that_cannot_be_taken_gets_a_sentence_and_the_others_count(string line, string sentence)
    {
        var entries = Read(line + "\n{\"on\":\"2027-03-11\",\"planting\":\"peach\",\"kind\":\"pick\"}\n", out var findings);

        Assert.Contains(sentence, Assert.Single(findings), StringComparison.Ordinal);
        Assert.Equal(new DateOnly(2027, 3, 11), Assert.Single(entries).On);
    }

    [Fact]
    public void A_store_serves_as_a_journal_file()
    {
        using (var book = JournalBook.Open(Store))
            book.Add(new PickEntry(0, "yard", "peach", Day), Now);

        Assert.Single(JournalFile.Read(Store, "yard", []));
    }

    [Theory]
    [InlineData("")]
    [InlineData("no-such-file")]
    public void A_file_that_is_not_there_is_told_in_a_sentence(string name) =>
        Assert.NotEmpty(Assert.Throws<StoreException>(() => JournalFile.Read(Path.Combine(_folder, name), "yard", [])).Message);

    private IReadOnlyList<JournalEntry> Read(string text, out List<string> findings)
    {
        var path = Path.Combine(_folder, "journal.jsonl");
        File.WriteAllText(path, text);
        return JournalFile.Read(path, "yard", findings = []);
    }
}
