namespace BackyardSentinel.Storage;

// What a line of the journal may say: the least and the most that is taken, and what is just beyond.
public sealed class JournalEdgesTests : IDisposable
{
    private readonly string _folder = Directory.CreateTempSubdirectory("journal-edges-").FullName;

    public void Dispose() => Directory.Delete(_folder, true);

    private (IReadOnlyList<JournalEntry> Entries, List<string> Findings) Read(string text)
    {
        var path = Path.Combine(_folder, "journal");
        File.WriteAllText(path, text);
        List<string> findings = [];
        return (JournalFile.Read(path, "yard", findings), findings);
    }

    private static string Pick(string on = "2027-03-11", string beside = "") =>
        $"{{\"on\":\"{on}\",\"planting\":\"peach\",\"kind\":\"pick\"{beside}}}\n";

    [Theory]
    [InlineData("\"kind\":\"stage\",\"code\":0", true)]
    [InlineData("\"kind\":\"stage\",\"code\":99", true)]
    [InlineData("\"kind\":\"stage\",\"code\":-1", false)]
    [InlineData("\"kind\":\"stage\",\"code\":100", false)]
    [InlineData("\"kind\":\"stage\",\"code\":9.5", false)]
    [InlineData("\"kind\":\"stage\",\"code\":9.0", true)]
    [InlineData("\"kind\":\"stage\",\"code\":null", false)]
    [InlineData("\"kind\":\"leaf-fall\",\"fallen_pct\":0", true)]
    [InlineData("\"kind\":\"leaf-fall\",\"fallen_pct\":100", true)]
    [InlineData("\"kind\":\"leaf-fall\",\"fallen_pct\":100.1", false)]
    [InlineData("\"kind\":\"scout\",\"shoots\":1,\"curled\":0", true)]
    [InlineData("\"kind\":\"scout\",\"shoots\":1,\"curled\":1", true)]
    [InlineData("\"kind\":\"scout\",\"shoots\":1,\"curled\":2", false)]
    [InlineData("\"kind\":\"scout\",\"shoots\":0,\"curled\":0", false)]
    [InlineData("\"kind\":\"scout\",\"shoots\":9,\"curled\":1,\"symptom\":\"puckered\"", true)]
    [InlineData("\"kind\":\"spray\",\"product\":\"p\",\"volume_l\":0.001", true)]
    [InlineData("\"kind\":\"spray\",\"product\":\"p\",\"volume_l\":0.0009", false)]
    [InlineData("\"kind\":\"spray\",\"product\":\"p\",\"volume_l\":5,\"at\":\"23:59\"", true)]
    [InlineData("\"kind\":\"spray\",\"product\":\"p\",\"volume_l\":5,\"at\":\"24:00\"", false)]
    [InlineData("\"kind\":\"spray\",\"product\":\"p\",\"volume_l\":5,\"at\":null", true)]
    [InlineData("\"kind\":\"spray\",\"product\":\"\",\"volume_l\":5", false)]
    [InlineData("\"kind\":\"spray\",\"product\":\"a\\u202Eb\",\"volume_l\":5", false)]
    [InlineData("\"kind\":\"shelter\",\"shelter\":\"off\"", true)]
    [InlineData("\"kind\":\"shelter\",\"shelter\":\"half\"", false)]
    public void A_field_is_taken_up_to_its_limits(string fields, bool isTaken)
    {
        var (entries, findings) = Read($"{{\"on\":\"2027-03-10\",\"planting\":\"peach\",{fields}}}");
        Assert.Equal((isTaken ? 1 : 0, isTaken ? 0 : 1), (entries.Count, findings.Count));
    }

    [Theory]
    [InlineData("1899-12-31", "Taken are 1900 to 2199.")]
    [InlineData("1900-01-01", null)]
    [InlineData("2199-12-31", null)]
    [InlineData("2200-01-01", "Taken are 1900 to 2199.")]
    public void A_day_is_of_a_year_that_can_be_right(string day, string? said)
    {
        var (entries, findings) = Read(Pick(day));
        Assert.Equal(said is null ? 1 : 0, entries.Count);
        Assert.Equal(said is null ? [] : [true], findings.Select(one => one.Contains(said!, StringComparison.Ordinal)));
    }

    [Fact]
    public void Limits_of_a_spray_are_told_in_the_sentence()
    {
        foreach (var (volume, isTaken) in new[] { (SprayEntry.MostVolumeL, true), (SprayEntry.MostVolumeL * 1.001, false) })
            Assert.Equal(isTaken, Taken($"\"volume_l\":{volume.ToString(CultureInfo.InvariantCulture)}"));
        foreach (var (dose, isTaken) in new[]
        {
            (SprayEntry.LeastDosePerL, true), (SprayEntry.LeastDosePerL * 0.999, false),
            (SprayEntry.MostDosePerL, true), (SprayEntry.MostDosePerL * 1.001, false),
        })
            Assert.Equal(isTaken, Taken($"\"volume_l\":5,\"dose_per_l\":{dose.ToString("0.############", CultureInfo.InvariantCulture)}"));

        bool Taken(string fields) =>
            Read($"{{\"on\":\"2027-03-10\",\"planting\":\"peach\",\"kind\":\"spray\",\"product\":\"p\",{fields}}}").Entries.Count == 1;
    }

    [Fact]
    public void Entries_keep_their_own_numbers_sites_and_notes_and_get_others_that_are_free()
    {
        var (entries, findings) = Read(
            Pick("2027-03-12") + Pick("2027-03-10", ",\"number\":1,\"site\":\"field\",\"note\":\"north side\"") + Pick("2027-03-11")
                + Pick("2027-03-11", ",\"number\":0") + Pick("2027-03-11", ",\"number\":1")
                + Pick("2027-03-11", ",\"number\":\"7\",\"note\":7"));
        // In the order of their days, then of their numbers; 1 is given first, and what names it later has a sentence.
        Assert.Equal(
            [
                ("2027-03-11", 2L, "yard", null), ("2027-03-11", 3, "yard", null), ("2027-03-11", 4, "yard", null),
                ("2027-03-12", 1, "yard", null),
            ],
            entries.Select(
                entry => (entry.On.ToString("yyyy-MM-dd", CultureInfo.InvariantCulture), entry.Number, entry.Site, entry.Note)));
        Assert.Equal(
            ["line 2: an entry before it has the number 1 already", "line 5: an entry before it has the number 1 already"],
            findings.Select(one => one[(one.IndexOf(", ", StringComparison.Ordinal) + 2)..one.IndexOf(';', StringComparison.Ordinal)]));
    }

    [Fact]
    public void A_file_has_ten_thousand_entries_at_most()
    {
        Assert.Equal(10_000, Read(string.Concat(Enumerable.Repeat(Pick(), 10_000))).Entries.Count);
        Assert.Contains(
            "has more than 10000 entries",
            Assert.Throws<StoreException>(() => Read(string.Concat(Enumerable.Repeat(Pick(), 10_001)))).Message,
            StringComparison.Ordinal);
    }

    [Theory]
    [InlineData(100, 100, null)]
    [InlineData(101, 101, "1 more of its entries cannot be taken.")]
    [InlineData(1000, 101, "900 more of its entries cannot be taken.")]
    [InlineData(1001, 0, "has more than 1000 lines that are no entries. Is it the right file? The first: ")]
    public void A_hundred_faults_are_told_and_a_thousand_and_one_are_another_file(int faults, int findings, string? last)
    {
        var text = string.Concat(Enumerable.Repeat("no entry\n", faults)) + Pick();
        if (findings == 0)
        {
            var refusal = Assert.Throws<StoreException>(() => Read(text));
            Assert.Contains($"{last}{Path.Combine(_folder, "journal")}, line 1: ", refusal.Message, StringComparison.Ordinal);
            return;
        }

        var (entries, found) = Read(text);
        Assert.Equal((1, findings), (entries.Count, found.Count));
        Assert.Contains(last ?? "line 100: ", found[^1], StringComparison.Ordinal);
    }

    [Fact]
    public void A_file_has_ten_megabytes_at_most()
    {
        const int most = 10 * 1024 * 1024;
        Assert.Single(Read(Pick().PadRight(most)).Entries);
        Assert.Contains(
            "is larger than 10 MB",
            Assert.Throws<StoreException>(() => Read(Pick().PadRight(most + 1))).Message,
            StringComparison.Ordinal);
    }

    [Theory]
    [InlineData("on,planting,kind,code,note\n2027-03-10,peach,stage,9,\"a, b\"\n\n2027-03-11,peach,pick,,\n", 2)]
    [InlineData("on;planting;kind;code\n2027-03-10;peach;stage;9\n", 1)]
    [InlineData("\"kind\"\t\"on\"\t\"planting\"\t\"code\"\nstage\t2027-03-10\tpeach\t9\n", 1)]
    [InlineData("on,planting,kind,code,on\n2027-03-10,peach,stage,9,2027-01-01\n", 1)]
    [InlineData("on,planting,kind,code\n2027-03-10,peach,stage,9\n,, ,\n", 1)]
    [InlineData("on,planting,kind,code\n2027-03-10,peach,stage,nine\n", 0)]
    [InlineData("on,planting,kind,code\n2027-03-10,peach,stage,9", 1)]
    [InlineData("on,planting,code\n2027-03-10,peach,9\n", 0)]
    public void A_table_is_read_by_its_head(string text, int entries)
    {
        var (read, findings) = Read(text);
        Assert.Equal((entries, entries > 0), (read.Count, findings.Count == 0));
        if (entries > 0)
            Assert.Equal(
                (new DateOnly(2027, 3, 10), 9, text.Contains("a, b", StringComparison.Ordinal) ? "a, b" : null),
                (read[0].On, ((StageEntry)read[0]).Code, read[0].Note));
    }

    [Fact]
    public void What_is_wrong_with_a_row_of_a_table_is_told_with_its_line()
    {
        var (_, findings) = Read("on,planting,kind,code\n2027-03-10,peach,stage,9\n\n2027-03-11,peach,stage,100\n");
        Assert.Contains(", line 4: \"code\" is 100; it is a number from 0 to 99.", Assert.Single(findings), StringComparison.Ordinal);
        (_, findings) = Read("{\"entries\":[{\"on\":\"2027-03-10\"},7]}");
        Assert.Equal(
            ["entry 1: \"planting\" is missing or is no text.", "entry 2: an entry is an object such as {\"on\":\"2027-02-12"],
            findings.Select(one => one[(one.IndexOf(", ", StringComparison.Ordinal) + 2)..]).Select((one, i) => one[..(i == 0 ? 45 : 56)]));
    }

    [Fact]
    public void A_store_is_in_use_once_a_service_or_a_grower_has_written_in_it()
    {
        foreach (var (name, use) in new (string, Action<string>)[]
        {
            ("none", _ => { }),
            ("served", path => Open(path, store => store.MarkServed())),
            ("series", path => Open(path, store => store.SeriesId("a"))),
            ("refused", path => Open(path, store =>
            {
                var batch = new StoreBatch();
                batch.Quarantine.Add(new QuarantinedMessage("t", $"no number", 1, []));
                store.Commit(batch);
            })),
            ("journal", path => Open(path, _ =>
            {
                using var other = JournalBook.Beside(path);
                other.Add(new PickEntry(0, "yard", "peach", new DateOnly(2027, 3, 1)), DateTimeOffset.UnixEpoch);
            })),
        })
        {
            var path = Path.Combine(_folder, name);
            Open(path, _ => { });
            use(path);
            using var book = JournalBook.Reading(path);
            Assert.Equal(name != "none", book.IsInUse());
        }

        static void Open(string path, Action<SentinelStore> use)
        {
            using var store = SentinelStore.Open(path);
            use(store);
        }
    }
}
