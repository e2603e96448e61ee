using System.CommandLine;
using BackyardSentinel.Commands;
using BackyardSentinel.Commands.Store;
using Microsoft.Data.Sqlite;

namespace BackyardSentinel.Tests.Commands;

public sealed class BackupTests : IDisposable
{
    private static readonly DateTimeOffset Noon = ExplainGarden.Utc(2027, 3, 4, 12);
    private readonly ExplainGarden _garden = new(), _other = new();
    private readonly FakeTimeProvider _time = new(Noon);

    private string Copy => Path.Combine(_garden.Folder, "copy.db");

    public void Dispose()
    {
        _garden.Dispose();
        _other.Dispose();
    }

    [Fact]
    public void A_backup_taken_while_the_service_runs_gives_the_same_answers_on_another_computer()
    {
        _garden.Weather(Noon.AddHours(-30), Noon, 9, humidityPct: 97, rainMmPerHour: 1).Saw("2027-03-02", 9);
        using (StoreLock.Hold(_garden.Store))
        using (var service = SentinelStore.Open(_garden.Store))
        using (var writing = new SqliteConnection($"Data Source={_garden.Store};Pooling=False"))
        {
            // Another program is in the middle of a commit, and what only reads waits for nobody.
            writing.Open();
            using var transaction = writing.BeginTransaction(deferred: false);
            var (code, output, error) = Backup(_garden, Copy);
            Assert.Equal((ExitCode.Done, ""), (code, error));
            Assert.Contains("Written and read through: ", output, StringComparison.Ordinal);
            Assert.Contains(
                "180 readings of 3 series from 2027-03-03 to 2027-03-04, 1 line of the journal, 0 messages",
                output,
                StringComparison.Ordinal);
            Assert.Equal(_garden.Explain(Noon), _garden.Explain(Noon));
        }

        if (!OperatingSystem.IsWindows())
            Assert.Equal(UnixFileMode.UserRead | UnixFileMode.UserWrite, File.GetUnixFileMode(Copy));
        var restored = Restore(_other, Copy);
        Assert.Equal((ExitCode.Done, ""), (restored.Code, restored.Error));
        Assert.StartsWith($"Restored {Copy} into {_other.Store}: 180 readings of 3 series", restored.Output, StringComparison.Ordinal);
        Assert.DoesNotContain("is kept as", restored.Output, StringComparison.Ordinal);
        var (here, there) = (_garden.Explain(Noon), _other.Explain(Noon));
        Assert.Equal((here.Code, here.Output), (there.Code, there.Output));
        Assert.Contains("wet spell", here.Output, StringComparison.OrdinalIgnoreCase);
    }

    [Fact]
    public void A_folder_gives_a_name_and_nothing_takes_the_place_of_a_file_that_is_there()
    {
        _garden.Weather(Noon.AddHours(-2), Noon, 9);
        Assert.Equal(ExitCode.Done, Backup(_garden, _garden.Folder).Code);
        Assert.True(File.Exists(Path.Combine(_garden.Folder, "sentinel-20270304T120000Z.db")));
        var again = Backup(_garden, _garden.Folder);
        Assert.Equal(ExitCode.BadInput, again.Code);
        Assert.Contains("is there already", again.Error, StringComparison.Ordinal);
        Assert.Empty(Directory.GetFiles(_garden.Folder, "*.part"));
    }

    [Fact]
    public void A_backup_without_a_store_makes_none()
    {
        Assert.Contains("There is no store", Backup(_garden, Copy).Error, StringComparison.Ordinal);
        Assert.False(File.Exists(_garden.Store) || File.Exists(Copy));
    }

    [Fact]
    public void Restoring_keeps_what_was_there_and_a_dry_run_changes_nothing()
    {
        _garden.Weather(Noon.AddHours(-8), Noon, 9);
        Backup(_garden, Copy);
        _other.Weather(Noon.AddHours(-2), Noon, 9);
        var before = File.ReadAllBytes(_other.Store);
        // It may be looked at while the service runs.
        (int Code, string Output, string Error) dry;
        using (StoreLock.Hold(_other.Store))
            dry = Restore(_other, Copy, "--dry-run");
        Assert.StartsWith($"Would restore {Copy} into {_other.Store}: 48 readings", dry.Output, StringComparison.Ordinal);
        Assert.Equal(before, File.ReadAllBytes(_other.Store));
        var files = Directory.GetFiles(_other.Folder).Length;
        var done = Restore(_other, Copy);
        Assert.Contains("What was there is kept as ", done.Output, StringComparison.Ordinal);
        Assert.Equal(before, File.ReadAllBytes(_other.Store + ".before-restore-20270304T120000Z"));
        Assert.Equal(files + 1, Directory.GetFiles(_other.Folder).Length);
        using var store = SentinelStore.Reading(_other.Store);
        Assert.Equal(48, store.ReadSeason().Count());
    }

    /// <summary>
    /// A service that was killed leaves its last commits beside the store; whoever removes only the store must not get them mixed into
    /// what is restored (SQLite takes a -wal file for that of the database it lies beside).
    /// </summary>
    [Fact]
    public void What_lies_beside_a_store_that_was_removed_is_not_taken_for_the_backups()
    {
        _garden.Weather(Noon.AddHours(-8), Noon.AddHours(-4), 9);
        Backup(_garden, Copy);
        using (var service = SentinelStore.Open(_other.Store))
        {
            SampleStore.Fill(service, _other.Store, hours: 24, fromHour: 0);
            File.Copy(_other.Store + "-wal", _other.Store + ".left");
        }

        foreach (var beside in (string[])["", "-wal", "-shm"])
            File.Delete(_other.Store + beside);
        File.Move(_other.Store + ".left", _other.Store + "-wal");
        var left = File.ReadAllBytes(_other.Store + "-wal");

        var done = Restore(_other, Copy);
        Assert.Equal((ExitCode.Done, ""), (done.Code, done.Error));
        Assert.DoesNotContain("is kept as", done.Output, StringComparison.Ordinal);
        StoreRescue.Open(_other.Store, null, _time, damage => Assert.Fail(damage.Fault)).Dispose();
        Assert.True(SampleStore.Dump(_other.Store).SetEquals(SampleStore.Dump(Copy)));
        Assert.Equal(left, File.ReadAllBytes(_other.Store + ".before-restore-20270304T120000Z-wal"));
    }

    [Fact]
    public void A_running_service_keeps_its_store()
    {
        _garden.Weather(Noon.AddHours(-2), Noon, 9);
        Backup(_garden, Copy);
        using var service = StoreLock.Hold(_garden.Store);
        Assert.Contains("Is another copy running? Stop it", Restore(_garden, Copy).Error, StringComparison.Ordinal);
    }

    [Theory]
    [InlineData(
        "update readings set value = 11 where time_ms = (select min(time_ms) from readings)", "3 readings differ from what was written")]
    [InlineData("delete from series where id = 2", "1 row of series is missing")]
    public void A_damaged_backup_is_refused_and_a_damaged_store_is_told(string damage, string why)
    {
        _garden.Weather(Noon.AddHours(-2), Noon, 9);
        Backup(_garden, Copy);
        SampleStore.Tamper(Copy, damage);
        var refused = Restore(_other, Copy);
        Assert.Equal(ExitCode.BadConfiguration, refused.Code);
        Assert.Equal($"{Copy} was not restored: {why}. The store is as it was; take another backup.\n", refused.Error);
        Assert.False(File.Exists(_other.Store));
        File.Copy(Copy, _garden.Store, overwrite: true);
        var (code, _, error) = Backup(_garden, Path.Combine(_garden.Folder, "second.db"), "--dry-run");
        Assert.NotEqual(ExitCode.Done, code);
        Assert.Contains(why, error, StringComparison.Ordinal);
    }

    [Fact]
    public void What_is_no_backup_is_refused_by_its_own_name()
    {
        File.WriteAllText(Copy, "the shopping list\n");
        var refused = Restore(_other, Copy);

        Assert.Equal(
            $"{Copy} was not restored: it is no store of this service or is damaged. The store is as it was; take another backup.\n",
            refused.Error);
        Assert.Empty(Directory.GetFiles(_other.Folder, "*.restoring*"));
    }

    [Fact]
    public void A_restored_store_has_the_rights_of_the_one_it_replaces_or_of_a_new_one()
    {
        if (OperatingSystem.IsWindows())
            return;
        const UnixFileMode OfAGroup = UnixFileMode.UserRead | UnixFileMode.UserWrite | UnixFileMode.GroupRead | UnixFileMode.GroupWrite;
        _garden.Weather(Noon.AddHours(-2), Noon, 9);
        Backup(_garden, Copy);
        SentinelStore.Open(Path.Combine(_garden.Folder, "new.db")).Dispose();
        Assert.Equal(ExitCode.Done, Restore(_other, Copy).Code);
        Assert.Equal(File.GetUnixFileMode(Path.Combine(_garden.Folder, "new.db")), File.GetUnixFileMode(_other.Store));
        File.SetUnixFileMode(_other.Store, OfAGroup);
        Assert.Equal(ExitCode.Done, Restore(_other, Copy).Code);
        Assert.Equal(OfAGroup, File.GetUnixFileMode(_other.Store));
    }

    [Fact]
    public void A_backup_of_an_earlier_version_is_brought_up_to_date_in_the_copy_and_stays_itself()
    {
        OldStores.Make(Copy, 4);
        var before = SampleStore.Dump(Copy);
        Assert.Equal(ExitCode.Done, Restore(_other, Copy).Code);
        Assert.True(SampleStore.Dump(Copy).SetEquals(before));
        using var store = SentinelStore.Reading(_other.Store);
        Assert.Equal(4, store.ReadSeason().Count());
    }

    private (int Code, string Output, string Error) Backup(ExplainGarden garden, string target, params string[] options) =>
        Run(BackupCommand.Create(_time), [target, "--garden", garden.Garden, .. options]);

    private (int Code, string Output, string Error) Restore(ExplainGarden garden, string backup, params string[] options) =>
        Run(RestoreCommand.Create(_time), [backup, "--garden", garden.Garden, .. options]);

    private static (int, string, string) Run(Command command, string[] options)
    {
        StringWriter output = new(), error = new();
        var code = command.Parse(options).Invoke(new InvocationConfiguration { Output = output, Error = error });
        return (code, output.ToString(), error.ToString());
    }
}
