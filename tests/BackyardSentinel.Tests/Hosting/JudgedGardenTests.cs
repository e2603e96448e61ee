namespace BackyardSentinel.Hosting;

/// <summary>A start that judges the season while its store is looked over.</summary>
public sealed class JudgedGardenTests : IDisposable
{
    private readonly string _folder = Directory.CreateTempSubdirectory("judged-garden-").FullName;

    private string Store => Path.Combine(_folder, "garden.db");

    public void Dispose() => Directory.Delete(_folder, true);

    /// <summary>
    /// The service reads the season while its store is looked over, and takes nothing for true before that has ended; what fails
    /// meanwhile may be the damage's doing.
    /// </summary>
    [Theory]
    [InlineData(false)]
    [InlineData(true)]
    public void Damage_that_is_found_while_the_season_is_judged_is_found_before_anything_comes_of_it(bool fails)
    {
        SampleStore.Make(Store, hours: 48);
        SampleStore.Tamper(Store, "delete from readings where time_ms % 3600000 = 0");
        List<int> judged = [];
        var damage = Assert.Single(SampleStore.Start(Store, judge: store =>
        {
            judged.Add(store.ReadSeason().Count());
            if (fails && judged.Count == 1)
                throw new NotSupportedException();
        }));
        Assert.Equal("46 readings are missing", damage.Fault);
        Assert.Equal([1728 - 48, 1728 - 48], judged);
    }

    [Fact]
    public void What_fails_over_a_sound_store_is_told_as_it_is_and_the_file_let_go()
    {
        SampleStore.Make(Store, hours: 48);
        Assert.Throws<NotSupportedException>(() => SampleStore.Start(Store, judge: _ => throw new NotSupportedException()));
        Assert.Contains(
            "something that cannot be: one too many. It is damaged",
            Assert.Throws<StoreException>(() => SampleStore.Start(Store, judge: _ => throw new ArgumentException("one too many."))).Message,
            StringComparison.Ordinal);
        Assert.Empty(SampleStore.Start(Store, judge: _ => { })); // Nobody reads the season: it is looked over all the same.
    }

    /// <summary>A name that is new is written before the season is read.</summary>
    [Fact]
    public void A_start_writes_nothing_into_a_store_that_is_damaged()
    {
        SampleStore.Make(Store, hours: 48);
        SampleStore.Tamper(Store, "delete from readings where time_ms % 3600000 = 0");
        var rounds = 0;
        Assert.Single(SampleStore.Start(Store, judge: store =>
        {
            rounds++;
            if (rounds == 1)
                Assert.Equal(11, Assert.Throws<Microsoft.Data.Sqlite.SqliteException>(() => store.SeriesId("yard/new")).SqliteErrorCode);
            else
                Assert.Equal(4, store.SeriesId("yard/new"));
        }));
        Assert.Equal(2, rounds);
    }
}
