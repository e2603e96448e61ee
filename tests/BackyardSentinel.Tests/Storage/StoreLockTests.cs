namespace BackyardSentinel.Storage;

public sealed class StoreLockTests : IDisposable
{
    private readonly DirectoryInfo _folder = Directory.CreateTempSubdirectory("store-lock-");

    [Fact]
    public void A_second_service_is_kept_from_a_store_in_use_and_let_in_afterwards()
    {
        var path = Path.Combine(_folder.FullName, "garden.db");
        using (StoreLock.Hold(path))
        {
            var refused = Assert.Throws<StoreException>(() => StoreLock.Hold(path));
            Assert.Contains("Is another copy running?", refused.Message, StringComparison.Ordinal);
        }

        using var again = StoreLock.Hold(path);
    }

    [Fact]
    public void A_store_that_a_link_leads_to_is_one_store_with_one_lock()
    {
        var (own, link) = (Path.Combine(_folder.FullName, "garden.db"), Path.Combine(_folder.FullName, "by-link.db"));
        File.CreateSymbolicLink(link, own); // Also while there is no store yet.
        var smallest = File.ReadAllText(Tests.Configuration.GardenFixtures.Scenario("good", "smallest.yaml"));

        var (garden, _) = BackyardSentinel.Configuration.GardenFileReader.ReadText(
            Path.Combine(_folder.FullName, "garden.yaml"), $"store: {{path: {link}}}\n" + smallest);

        Assert.Equal(own, garden!.Store.Path);
    }

    [Fact]
    public void A_file_in_the_place_of_its_folder_is_no_other_copy()
    {
        var file = Path.Combine(_folder.FullName, "notes");
        File.WriteAllText(file, "mine");

        var refused = Assert.Throws<StoreException>(() => StoreLock.Hold(Path.Combine(file, "garden.db")));
        Assert.EndsWith("already exists. Name another file.", refused.Message, StringComparison.Ordinal);
    }

    [Fact]
    public void A_missing_folder_is_made()
    {
        using var held = StoreLock.Hold(Path.Combine(_folder.FullName, "data", "deep", "garden.db"));

        Assert.True(Directory.Exists(Path.Combine(_folder.FullName, "data", "deep")));
    }

    [Fact]
    public void Whether_a_service_has_a_store_is_seen_without_keeping_one_from_it()
    {
        var path = Path.Combine(_folder.FullName, "garden.db");
        Assert.False(StoreLock.IsHeld(path));
        using (StoreLock.Hold(path))
            Assert.Equal((true, true), (StoreLock.IsHeld(path), StoreLock.IsHeld(path)));
        Assert.False(StoreLock.IsHeld(path));
        using var again = StoreLock.Hold(path);
    }

    public void Dispose() => _folder.Delete(recursive: true);
}
