namespace BackyardSentinel.Tests.Configuration;

/// <summary>
/// The systemd unit, the garden file in <c>/etc</c> and the store fit together, so that following the README starts the service.
/// </summary>
public sealed class SystemUnitTests
{
    private static readonly string[] Unit = Lines("backyard-sentinel.service");
    private static readonly string[] Template = Lines("backyard-sentinel@.service");

    [Theory]
    [InlineData("", "/var/lib/backyard-sentinel/data/sentinel.db")]
    [InlineData("store: {path: my.db}\n", "/var/lib/backyard-sentinel/my.db")]
    [InlineData("store: {path: /srv/garden/my.db}\n", "/srv/garden/my.db")]
    public void The_store_of_the_units_garden_file_lies_where_the_service_may_write(string store, string expected)
    {
        var file = Of("ExecStart").Split("--garden ")[1];
        Assert.Equal("/etc/backyard-sentinel/garden.yaml", file);
        var (garden, _) = GardenFileReader.ReadText(file, store + File.ReadAllText(GardenFixtures.Scenario("good", "smallest.yaml")));
        Assert.Equal(expected, garden!.Store.Path);
    }

    [Fact]
    public void The_unit_makes_the_folder_of_the_store_and_does_not_restart_what_restarting_cannot_mend()
    {
        Assert.Equal(StoreSettings.SystemFolder, "/var/lib/" + Of("StateDirectory"));
        Assert.Equal(StoreSettings.SystemFolder, Of("WorkingDirectory"));
        Assert.Equal("78", Of("RestartPreventExitStatus"));
    }

    [Theory]
    [InlineData("", "/var/lib/backyard-sentinel/mill-lane/data/sentinel.db")]
    [InlineData("store: {path: /srv/garden/my.db}\n", "/srv/garden/my.db")]
    public void Each_garden_file_of_the_template_has_a_store_of_its_own(string store, string expected)
    {
        var (garden, _) = GardenFileReader.ReadText(
            Of("ExecStart", Template).Split("--garden ")[1].Replace("%i", "mill-lane", StringComparison.Ordinal),
            store + File.ReadAllText(GardenFixtures.Scenario("good", "smallest.yaml")));
        Assert.Equal(expected, garden!.Store.Path);
        Assert.Equal("/var/lib/backyard-sentinel/%i", Of("WorkingDirectory", Template));
        Assert.Equal("/var/lib/" + Of("StateDirectory", Template), Of("WorkingDirectory", Template));
    }

    [Fact]
    public void Elsewhere_the_store_lies_beside_the_garden_file()
    {
        var (garden, _) = GardenFileReader.ReadText(
            "/home/grower/etc/garden.yaml",
            File.ReadAllText(GardenFixtures.Scenario("good", "smallest.yaml")));
        Assert.Equal("/home/grower/etc/data/sentinel.db", garden!.Store.Path);
    }

    private static string Of(string key, string[]? unit = null) =>
        Assert.Single(unit ?? Unit, line => line.StartsWith(key + "=", StringComparison.Ordinal))[(key.Length + 1)..];

    private static string[] Lines(string unit) => File.ReadAllLines(Path.Combine(GardenFixtures.Root, "deploy", unit));
}
