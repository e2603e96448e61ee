namespace BackyardSentinel.Storage;

public sealed class OutboxTests : IDisposable
{
    private readonly string _folder = Directory.CreateTempSubdirectory("sentinel-outbox").FullName;

    private string File => Path.Combine(_folder, "garden.db");

    public void Dispose() => Directory.Delete(_folder, true);

    private static OutboxRow Row(string id, long createdMs = 1000, string episode = "spell", string receiver = "phone") =>
        new(id, receiver, episode, createdMs, createdMs + 86_400_000, "{}");

    private void Commit(params OutboxRow[] rows)
    {
        using var store = SentinelStore.Open(File);
        var batch = new StoreBatch();
        batch.Outbox.AddRange(rows);
        store.Commit(batch);
    }

    [Fact]
    public void A_message_is_committed_with_its_event_or_neither_is()
    {
        using var store = SentinelStore.Open(File);
        using var outbox = OutboxStore.Open(File);
        var bad = new StoreBatch();
        bad.Events.Add(new StoredEvent("yard/-/spell-started/1", 5));
        bad.Outbox.Add(Row("a"));
        bad.Outbox.Add(Row("b") with { Episode = null! });
        Assert.ThrowsAny<Exception>(() => store.Commit(bad));
        Assert.Empty(store.Events());
        Assert.Empty(outbox.Rows());

        bad.Outbox.RemoveAt(1);
        store.Commit(bad);
        Assert.Single(store.Events());
        Assert.Equal([Row("a")], outbox.Rows());
        bad.Clear();
        Assert.True(bad.IsEmpty);
    }

    [Fact]
    public void What_went_out_while_the_clock_was_ahead_does_not_end_what_comes_later()
    {
        Commit(Row("a", 864_000_000) with { State = OutboxState.Delivered, NextMs = 864_000_500 });
        using (var store = SentinelStore.Open(File))
            store.SetAside(DateTimeOffset.FromUnixTimeMilliseconds(5000), DateTimeOffset.FromUnixTimeMilliseconds(6000));
        Commit(Row("b", 7000));
        using var outbox = OutboxStore.Open(File);
        Assert.Equal("b", outbox.Take("phone", 8000)?.Id);
        var earlier = outbox.Rows().Single(row => row.Id == "a");
        Assert.Equal((OutboxState.Delivered, 5000, 5000), (earlier.State, earlier.CreatedMs, earlier.NextMs));
        StoreRescue.Open(File, null, SampleStore.Clock, damage => Assert.Fail(damage.Fault)).Dispose();
    }

    [Theory]
    [InlineData("state = 'sleeping'")]
    [InlineData("created_ms = 9223372036854775807, state = 'expired'")]
    [InlineData("next_ms = -9223372036854775808")]
    [InlineData("next_ms = 9223372036854775807, useful_until_ms = 9223372036854775807")]
    [InlineData("attempts = 9223372036854775807")]
    [InlineData("attempts = -5, message = '{'")]
    public void A_damaged_row_does_not_stop_the_others(string damage)
    {
        Commit(Row("a"), Row("b", 2000, "other"));
        using var outbox = OutboxStore.Open(File);
        SampleStore.Tamper(File, $"update outbox set {damage} where id = 'a'");

        var rows = outbox.Rows();
        Assert.Equal(2, rows.Count);
        Assert.All(
            rows,
            row =>
                Assert.True(
                    DateTimeOffset.FromUnixTimeMilliseconds(row.CreatedMs).Year >= 1970
                        && DateTimeOffset.FromUnixTimeMilliseconds(row.NextMs).Year >= 1970
                        && row.Attempts >= 0));
        Assert.True(outbox.NextDueMs("phone") is null or >= 0);
        outbox.Mark(Row("a") with { State = OutboxState.Rejected });
        Assert.Equal("b", outbox.Take("phone", 5000)?.Id);
    }

    [Fact]
    public void A_message_judged_again_does_not_come_back()
    {
        Commit(Row("a"));
        using var outbox = OutboxStore.Open(File);
        outbox.Mark(Row("a") with { State = OutboxState.Delivered, Attempts = 2, NextMs = 5000, LastAnswer = "answered 200" });
        Commit(Row("a"));
        Assert.Equal(
            [Row("a") with { State = OutboxState.Delivered, Attempts = 2, NextMs = 5000, LastAnswer = "answered 200" }],
            outbox.Rows());
        Assert.Null(outbox.Take("phone", 9000));
        Assert.Equal(5000, outbox.LastDeliveredMs("phone"));
        Assert.Null(outbox.LastDeliveredMs("other"));
    }

    [Fact]
    public void A_newer_message_of_the_episode_takes_the_place_of_one_that_waits_for_the_same_receiver()
    {
        Commit(Row("old"), Row("new", 2000), Row("old", receiver: "other"), Row("else", 500, "frost"));
        using var outbox = OutboxStore.Open(File);
        Assert.Equal("else", outbox.Take("phone", 3000)?.Id);
        Assert.Equal(OutboxState.Superseded, outbox.Rows().Single(row => row is { Id: "old", Receiver: "phone" }).State);
        Assert.Equal("old", outbox.Take("other", 3000)?.Id);
    }

    [Fact]
    public void What_is_past_its_use_is_not_given_out()
    {
        Commit(Row("a"));
        using var outbox = OutboxStore.Open(File);
        Assert.Equal(1000, outbox.NextDueMs("phone"));
        Assert.Null(outbox.Take("phone", 86_401_000));
        Assert.Equal(OutboxState.Expired, Assert.Single(outbox.Rows()).State);
    }

    // Senders may still be at it when the service ends: shutting the file under them once ended in a crash within SQLite.
    [Fact]
    public async Task Whoever_still_asks_when_it_is_shut_is_refused()
    {
        Commit([.. Enumerable.Range(0, 20).Select(i => Row($"a{i}", 1000 + i, $"one-{i}"))]);
        for (var round = 0; round < 30; round++)
        {
            var outbox = OutboxStore.Open(File);
            var senders = Enumerable.Range(0, 3).Select(_ => Task.Run(() =>
            {
                while (true)
                {
                    outbox.Take("phone", 900);
                    outbox.Rows();
                }
            })).ToList();
            await Task.Run(() => outbox.NextDueMs("phone"), TestContext.Current.CancellationToken);
            outbox.Dispose();
            foreach (var sender in senders)
                await Assert.ThrowsAnyAsync<InvalidOperationException>(() => sender);
        }
    }

    [Fact]
    public void Only_what_was_tried_is_open_for_long()
    {
        Commit(
            Row("a") with { LastAnswer = "no route", Attempts = 1 },
            Row("untried", 900, "one"),
            Row("missed", 500, "two") with { State = OutboxState.ExpiredReported, LastAnswer = "its time had passed" },
            Row("tried", 700, "three", "other") with { State = OutboxState.ExpiredReported, LastAnswer = "no route", Attempts = 3 });
        using var outbox = OutboxStore.Open(File);
        Assert.Equal((1000, 700), (outbox.OldestOpenMs("phone", 0), outbox.OldestOpenMs("other", 0)));
        Assert.Null(outbox.OldestOpenMs("phone", 1000));
    }

    [Fact]
    public void Of_what_is_due_the_oldest_goes_first_and_what_waits_longer_is_told_by_its_time()
    {
        Commit(
            Row("b", 2000, "two"), Row("a", 1000, "one") with { NextMs = 5000 }, Row("c", 3000, "three"), Row("d", 500, "four", "other"));
        using var outbox = OutboxStore.Open(File);

        Assert.Equal(("b", 2000L), (outbox.Take("phone", 4999)!.Id, outbox.NextDueMs("phone")!.Value));
        Assert.Equal("a", outbox.Take("phone", 5000)!.Id);
        Assert.Null(outbox.Take("phone", 1999));
        Assert.Null(outbox.NextDueMs("nobody"));
        // Its use may end before its next attempt.
        outbox.Mark(Row("b", 2000, "two") with { State = OutboxState.Delivered, NextMs = 2000 });
        outbox.Mark(Row("c", 3000, "three") with { NextMs = 900_000_000 });
        outbox.Mark(Row("a", 1000, "one") with { NextMs = 900_000_000 });
        Assert.Equal(86_401_000, outbox.NextDueMs("phone"));
    }

    [Fact]
    public void A_clock_that_was_set_back_makes_due_what_would_wait_for_it()
    {
        Commit(
            Row("a", 1000, "one") with { NextMs = 9000 },
            Row("b", 2000, "two") with { NextMs = 8000 },
            Row("c", receiver: "other") with { NextMs = 9000 });
        using var outbox = OutboxStore.Open(File);
        outbox.MakeDue("phone", 8000, 3000);

        Assert.Equal([3000L, 8000, 9000], outbox.Rows().OrderBy(row => row.NextMs).Select(row => row.NextMs));
        Assert.Equal("a", outbox.Take("phone", 3000)!.Id);
        Assert.Null(outbox.Take("other", 8999));
    }

    [Fact]
    public void A_digest_closes_what_it_counts_and_takes_the_place_of_one_that_waits()
    {
        Commit(
            Row("a") with { State = OutboxState.Expired }, Row("b") with { State = OutboxState.Rejected },
            Row("c") with { State = OutboxState.Delivered }, Row("d") with { State = OutboxState.Expired });
        using var outbox = OutboxStore.Open(File);
        outbox.AddDigest(Row("first", 5000, "digest"));
        outbox.AddDigest(Row("second", 6000, "digest"));
        outbox.MarkReported(Row("second", 6000, "digest") with { State = OutboxState.Delivered, NextMs = 7000 }, ["a", "b", "c"]);

        Assert.Equal(
            [
                ("a", OutboxState.ExpiredReported), ("b", OutboxState.RejectedReported), ("c", OutboxState.Delivered),
                ("d", OutboxState.Expired), ("first", OutboxState.Superseded), ("second", OutboxState.Delivered),
            ],
            outbox.Rows().Select(row => (row.Id, row.State)));
        Assert.Equal("a newer digest took its place", outbox.Rows()[4].LastAnswer);
    }

    [Fact]
    public void Messages_for_a_receiver_that_is_gone_are_rejected_where_no_other_is_left()
    {
        Commit(
            Row("b", receiver: "gone"), Row("c", 1000, "frost", "gone") with { State = OutboxState.Expired },
            Row("d", 1000, "wind", "gone") with { State = OutboxState.Delivered });
        using var outbox = OutboxStore.Open(File);

        Assert.Equal((0, 2), outbox.HandOverOrphans([], 1500));
        Assert.Equal((0, 0), outbox.HandOverOrphans([], 1500));
        Assert.Equal(
            [OutboxState.RejectedReported, OutboxState.RejectedReported, OutboxState.Delivered],
            outbox.Rows().Select(row => row.State));
        Assert.Equal(1500, outbox.Rows()[0].NextMs);
    }

    [Fact]
    public void What_waits_for_a_receiver_that_is_gone_goes_to_those_that_do_not_have_it_while_it_is_of_use()
    {
        Commit(
            Row("a", receiver: "gone"), Row("both", 1000, "frost", "gone"),
            Row("both", 1000, "frost") with { State = OutboxState.Delivered },
            Row("late", 1000, "wind", "gone") with { UsefulUntilMs = 1400 },
            Row("over", 1000, "hail", "gone") with { State = OutboxState.Rejected });
        using var outbox = OutboxStore.Open(File);

        Assert.Equal((2, 2), outbox.HandOverOrphans(["phone"], 1500));
        Assert.Equal((0, 0), outbox.HandOverOrphans(["phone"], 1500));
        Assert.Equal(
            [
                ("a", "gone", OutboxState.Superseded), ("a", "phone", OutboxState.Waiting), ("both", "gone", OutboxState.Superseded),
                ("both", "phone", OutboxState.Delivered), ("late", "gone", OutboxState.RejectedReported),
                ("over", "gone", OutboxState.RejectedReported),
            ],
            outbox.Rows().Select(row => (row.Id, row.Receiver, row.State)));
        Assert.Equal("a", outbox.Take("phone", 1500)?.Id);
    }

    [Fact]
    public void A_receiver_has_moved_once_its_address_is_another()
    {
        Commit(Row("a"));
        using var outbox = OutboxStore.Open(File);

        Assert.False(outbox.HasMoved("phone", "f1"));
        Assert.False(outbox.HasMoved("phone", "f1"));
        Assert.True(outbox.HasMoved("phone", "f2"));
        Assert.False(outbox.HasMoved("phone", "f2"));
        Assert.False(outbox.HasMoved("other", "f1"));
    }

    [Fact]
    public void A_receiver_stays_switched_off_until_it_is_another()
    {
        Commit(Row("a"));
        using var outbox = OutboxStore.Open(File);
        outbox.SwitchOff("phone", "f1", "It is gone.");
        Assert.Equal("It is gone.", outbox.SwitchedOff("phone", "f1"));
        Assert.Null(outbox.SwitchedOff("phone", "f2"));
        Assert.Null(outbox.SwitchedOff("other", "f1"));
        outbox.SwitchOn("phone");
        Assert.Null(outbox.SwitchedOff("phone", "f1"));
    }

    [Fact]
    public void Every_state_is_kept_in_its_own_word()
    {
        using (SentinelStore.Open(File))
        {
        }

        using var outbox = OutboxStore.Open(File);
        foreach (var state in Enum.GetValues<OutboxState>())
        {
            Commit(Row(state.ToString()) with { State = state });
            Assert.Equal(state.ToString(), Assert.Single(outbox.Rows("phone", state)).Id);
        }
    }

    [Fact]
    public void An_outbox_without_its_store_gets_a_sentence()
    {
        Assert.Contains("opened first", Assert.Throws<StoreException>(() => OutboxStore.Open(File)).Message, StringComparison.Ordinal);
        Assert.False(System.IO.File.Exists(File));
    }

    [Fact]
    public void Two_connections_write_by_turns()
    {
        using var store = SentinelStore.Open(File);
        using var outbox = OutboxStore.Open(File);
        Parallel.For(0, 2, side =>
        {
            for (var i = 0; i < 50; i++)
            {
                if (side == 0)
                {
                    var batch = new StoreBatch();
                    batch.Outbox.Add(Row("a" + i, 1000 + i, "episode " + i));
                    store.Commit(batch);
                }
                else
                {
                    outbox.SwitchOff("r" + i, "f", "off");
                }
            }
        });
        Assert.Equal(50, outbox.Rows().Count);
        Assert.Equal("off", outbox.SwitchedOff("r49", "f"));
    }
}
