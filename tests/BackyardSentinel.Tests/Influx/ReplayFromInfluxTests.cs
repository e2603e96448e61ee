using BackyardSentinel.Commands;
using BackyardSentinel.Live;
using BackyardSentinel.Tests.Commands;
using Serilog.Core;

namespace BackyardSentinel.Influx;

public sealed class ReplayFromInfluxTests : IDisposable
{
    private const string TokenVariable = "BACKYARD_SENTINEL_TEST_INFLUX";
    private static readonly DateTimeOffset Noon = ExplainGarden.Utc(2027, 3, 4, 12);
    private static readonly string[] Range = ["--from", "2027-02-01", "--to", "2027-04-01"];
    private readonly ExplainGarden _garden = new();

    public void Dispose() => _garden.Dispose();

    [Fact]
    public async Task What_is_read_back_from_the_server_gives_the_answer_of_the_store()
    {
        await using var peer = await InfluxPeer.StartAsync();
        Environment.SetEnvironmentVariable(TokenVariable, InfluxPeer.Token);
        File.AppendAllText(
            _garden.Garden, $"\ninflux:\n  url: {peer.Url}\n  org: garden\n  bucket: weather\n  token: env:{TokenVariable}\n");
        _garden.Weather(Noon.AddHours(-60), Noon.AddHours(-30), 9)
            .Weather(Noon.AddHours(-30), Noon, 9, humidityPct: 97, rainMmPerHour: 1)
            .Weather(Noon, Noon.AddHours(12), 9)
            .Saw("2027-03-02", 9);
        var garden = GardenFileReader.Read(_garden.Garden).Garden!;
        using (var book = ForwardBook.Open(_garden.Store))
        {
            using var server = new InfluxServer(peer.Address);
            var time = new JumpingTime(Noon.AddHours(12));
            await new InfluxForwarder(
                "target",
                new SeasonFollower(garden, book),
                book,
                new InfluxLines(garden.Influx!.What),
                new InfluxSender(server, "server", book, time, Logger.None),
                time,
                Logger.None)
                .ForwardAsync(TestContext.Current.CancellationToken);
        }

        var store = ReplaySourcesTests.Run(["--garden", _garden.Garden, .. Range]);
        var back = ReplaySourcesTests.Run(["--influx", "--garden", _garden.Garden, "--journal", _garden.Store, .. Range]);

        Assert.Contains("2 infection windows by the rule wet-hours", store.Output, StringComparison.Ordinal);
        Assert.Equal(
            store.Output.Replace(_garden.Store, "HERE", StringComparison.Ordinal),
            back.Output.Replace($"InfluxDB {peer.Address}", "HERE", StringComparison.Ordinal));
        Assert.Equal((store.Code, store.Error), (back.Code, back.Error));

        peer.Fault = () => 403;
        var refused = ReplaySourcesTests.Run(["--influx", "--garden", _garden.Garden, .. Range]);
        Assert.Equal(ExitCode.BadInput, refused.Code);
        Assert.Contains("the token must be allowed to read the bucket", refused.Error, StringComparison.Ordinal);
        Assert.DoesNotContain(InfluxPeer.Token, refused.Error, StringComparison.Ordinal);
    }

    [Fact]
    public void Without_a_server_to_read_from_it_says_what_is_missing()
    {
        Assert.StartsWith("--influx needs --garden", ReplaySourcesTests.Run("--influx").Error, StringComparison.Ordinal);
        Assert.StartsWith(
            "The garden file has no 'influx'",
            ReplaySourcesTests.Run("--influx", "--garden", _garden.Garden).Error,
            StringComparison.Ordinal);
        Assert.StartsWith(
            "--influx reads what the server has, so no a.csv goes with it",
            ReplaySourcesTests.Run("a.csv", "--influx").Error,
            StringComparison.Ordinal);
    }
}
