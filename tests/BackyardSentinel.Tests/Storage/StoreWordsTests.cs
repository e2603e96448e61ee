namespace BackyardSentinel.Storage;

// What is said of a store.
public sealed class StoreWordsTests : StoreBench
{
    [Theory]
    [InlineData(0, 0, "0 readings of 0 series, 0 lines of the journal, 0 messages")]
    [InlineData(1, 1, "1 reading of 1 series from 2027-02-01 to 2027-02-01, 1 line of the journal, 1 message")]
    [InlineData(2, 3, "6 readings of 2 series from 2027-02-01 to 2027-02-03, 2 lines of the journal, 2 messages")]
    public void A_store_is_summed_up_in_a_sentence(int of, int days, string sentence)
    {
        using (var store = SentinelStore.Open(File))
        {
            var batch = new StoreBatch();
            for (var i = 0; i < of; i++)
            {
                for (var day = 0; day < days; day++)
                    batch.Readings.Add(Reading(store.SeriesId($"s{i}"), Begin.AddDays(day), 5));
                batch.Outbox.Add(new OutboxRow($"a{i}", "phone", "e", 1, 2, "{}"));
            }

            store.Commit(batch);
            using var journal = JournalBook.Beside(File);
            for (var i = 0; i < of; i++)
                journal.Add(new PickEntry(0, "yard", "peach", new DateOnly(2027, 2, 1)), Begin);
        }

        Assert.Equal(sentence, StoreBackup.Check(File).Holds.Text(TimeZoneInfo.Utc));
    }

    [Fact]
    public void What_became_of_a_damaged_store_is_told_as_far_as_it_is_known()
    {
        var damage = new StoreDamage(Begin, "garden.db.damaged", "it is torn", 5, 0, null, null, "");
        const string kept = "The store was damaged when the service started at 2027-02-01 00:00: it is torn. "
            + "5 readings were saved into a new one, ";
        const string look = "The damaged file is kept as garden.db.damaged. Look through 'journal list'; where you have a newer backup, "
            + "'restore' brings it back. If it happens again the disk or card is failing.";
        Assert.Equal(
            kept + "none was lost. The damaged file is kept as garden.db.damaged. Nothing needs doing now; if it happens again the disk or "
                + "card is failing.",
            damage.Sentence(TimeZoneInfo.Utc));
        Assert.Equal(
            kept + "none was lost; lost with it: 1 event. " + look, (damage with { Others = "1 event" }).Sentence(TimeZoneInfo.Utc));
        Assert.Equal(kept + "how many were lost is not known. " + look, (damage with { Lost = null }).Sentence(TimeZoneInfo.Utc));
        Assert.Equal(kept + "3 were lost. " + look, (damage with { Lost = 3, From = Begin }).Sentence(TimeZoneInfo.Utc));
        Assert.Equal(
            kept + "3 were lost between 2027-02-01 00:00 and 2027-02-01 01:00. " + look,
            (damage with { Lost = 3, From = Begin, To = Begin.AddHours(1) }).Sentence(TimeZoneInfo.Utc));
    }

    [Fact]
    public void Just_what_would_steer_a_terminal_is_shown_as_its_code()
    {
        for (var letter = '\0'; letter < char.MaxValue; letter++)
        {
            var steers = char.IsControl(letter) || letter is '\u061C' or '\u200E' or '\u200F'
                || letter is >= '\u2028' and <= '\u202E' || letter is >= '\u2066' and <= '\u2069';
            Assert.Equal(steers ? $"a\\u{(int)letter:X4}b" : $"a{letter}b", TerminalText.Plain($"a{letter}b"));
        }
    }
}
