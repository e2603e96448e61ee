using BackyardSentinel.Live;
using BackyardSentinel.Sensors;
using Serilog.Core;

namespace BackyardSentinel.Hosting;

/// <summary>Which plain amounts count that a broker delivers, and which are the same again.</summary>
public sealed class RepeatsTests : IDisposable
{
    private readonly string _folder = Directory.CreateTempSubdirectory("sentinel-repeats").FullName;
    private readonly FakeTimeProvider _time = new(new DateTimeOffset(2027, 3, 1, 6, 0, 30, TimeSpan.Zero));
    private int _acknowledged;

    public void Dispose() => Directory.Delete(_folder, true);

    /// <summary>One run of the service, with one connection for each list; answers how much has rained in all.</summary>
    private async Task<double> Run(params IEnumerable<(int Id, string Mm, How How)>[] connections)
    {
        using var store = SentinelStore.Open(Path.Combine(_folder, "garden.db"));
        var loop = new SentinelLoop(
            store,
            new PayloadMap([
                new SeriesMap
                {
                    SiteId = "yard",
                    Quantity = Quantity.Rain,
                    Topic = "r",
                },
            ]),
            [new Site { Id = "yard" }],
            _ => { },
            new LoopOptions { Capacity = 20_000 },
            _time,
            Logger.None);
        for (var i = 0; i < connections.Length; i++)
        {
            foreach (var (id, mm, how) in connections[i])
            {
                await loop.OfferAsync(new ArrivedMessage(
                    "r", Encoding.UTF8.GetBytes(mm), redelivered: how.HasFlag(How.Marked),
                    acknowledge: _ =>
                    {
                        _acknowledged++;
                        return Task.CompletedTask;
                    },
                    delivery: new BrokerDelivery(i + 1, !how.HasFlag(How.NewSession), id, how.HasFlag(How.Waited))));
            }
        }

        loop.Complete();
        await loop.RunAsync(CancellationToken.None);
        _time.Advance(TimeSpan.FromHours(1));
        return Math.Round(store.ReadSeason().Sum(row => row.Value), 6);
    }

    [Flags]
    private enum How
    {
        Live = 0,
        Waited = 1,
        Marked = 2,
        NewSession = 4,
    }

    private static IEnumerable<(int, string, How)> Tips(int first, int last, How how, string mm = "0.2") =>
        Enumerable.Range(first, last - first + 1).Select(id => (id, mm, how));

    [Fact]
    public async Task A_queue_that_comes_again_counts_once_in_the_same_run_and_after_a_restart_and_is_acknowledged()
    {
        Assert.Equal(6, await Run(Tips(1, 30, How.Waited), Tips(1, 30, How.Waited)));
        Assert.Equal(6, await Run(Tips(1, 30, How.Waited)));
        Assert.Equal(90, _acknowledged);
    }

    [Fact]
    public async Task The_saved_queue_may_begin_anywhere_in_what_was_fetched_and_what_is_new_behind_it_counts()
    {
        Assert.Equal(4, await Run(Tips(1, 20, How.Waited)));
        Assert.Equal(4.6, await Run(Tips(11, 20, How.Waited).Concat(Tips(21, 23, How.Waited))));
    }

    [Fact]
    public async Task Equal_tips_under_new_identifiers_all_count()
    {
        Assert.Equal(2, await Run(Tips(1, 10, How.Waited)));
        Assert.Equal(4, await Run(Tips(11, 20, How.Waited)));
        Assert.Equal(6, await Run(Tips(21, 30, How.Live)));
    }

    [Fact]
    public async Task A_message_that_is_not_the_same_ends_the_repetition_for_good()
    {
        Assert.Equal(2, await Run(Tips(1, 10, How.Waited)));
        // 1 to 3 are the same; 4 is another amount, so the broker uses its identifiers anew, and 5 to 10 count.
        Assert.Equal(
            2 + 0.4 + 1.2,
            await Run(Tips(1, 3, How.Waited).Concat(Tips(4, 4, How.Waited, "0.4")).Concat(Tips(5, 10, How.Waited))),
            6);
    }

    [Fact]
    public async Task What_is_out_of_order_is_no_repetition()
    {
        Assert.Equal(2, await Run(Tips(1, 10, How.Waited)));
        Assert.Equal(3.6, await Run(Tips(1, 2, How.Waited).Concat(Tips(4, 10, How.Waited)).Concat(Tips(3, 3, How.Waited))));
    }

    [Fact]
    public async Task Identifiers_that_a_broker_uses_anew_for_what_it_sends_at_once_are_no_repetition()
    {
        Assert.Equal(2, await Run(Tips(1, 10, How.Waited)));
        Assert.Equal(4, await Run(Tips(1, 10, How.Live)));
        // Nor is what waits like what was sent at once before.
        Assert.Equal(4, await Run(Tips(11, 20, How.Live)) - 2);
        Assert.Equal(8, await Run(Tips(11, 20, How.Waited)));
    }

    [Fact]
    public async Task A_marked_copy_of_what_is_safe_counts_once_and_one_of_what_is_not_counts()
    {
        Assert.Equal(1, await Run(Tips(1, 5, How.Live)));
        Assert.Equal(1.4, await Run(Tips(3, 7, How.Marked)));
        // Marked ones stand before the rest of the queue and do not end its run.
        Assert.Equal(2, await Run(Tips(8, 10, How.Waited)));
        Assert.Equal(2.2, await Run(Tips(7, 7, How.Marked).Concat(Tips(8, 10, How.Waited)).Concat(Tips(11, 11, How.Waited))));
    }

    [Fact]
    public async Task A_marked_message_with_another_payload_is_another_message()
    {
        Assert.Equal(1, await Run(Tips(1, 5, How.Live)));
        Assert.Equal(1.4, await Run(Tips(5, 5, How.Marked, "0.4")));
        Assert.Equal(1.8, await Run(Tips(1, 1, How.Marked, "0.4")));
    }

    [Fact]
    public async Task A_new_session_counts_its_identifiers_anew()
    {
        Assert.Equal(2, await Run(Tips(1, 10, How.Waited)));
        Assert.Equal(4, await Run(Tips(1, 10, How.NewSession)));
        Assert.Equal(6, await Run(Tips(1, 10, How.Waited)));
    }

    [Fact]
    public async Task Only_the_last_ten_thousand_are_kept()
    {
        Assert.Equal(2400, await Run(Tips(1, 12_000, How.Waited)));
        using (var store = SentinelStore.Open(Path.Combine(_folder, "garden.db")))
        {
            var kept = store.Deliveries();
            Assert.Equal(10_000, kept.Count);
            Assert.Equal((2001, 12_000), (kept[0].PacketId, kept[^1].PacketId));
        }

        Assert.Equal(2400, await Run(Tips(2001, 12_000, How.Waited)));
        Assert.Equal(2400.2, await Run(Tips(2000, 2000, How.Waited)));
    }
}
