using System.Text.Json;
using BackyardSentinel.Sensors;
using Serilog.Core;

namespace BackyardSentinel.Live;

/// <summary>A wet day through the loop: in one run, and with a stop and a start after every few messages.</summary>
public sealed class RestartTests : IDisposable
{
    private static readonly DateTimeOffset Dawn = new(2027, 3, 1, 0, 0, 0, TimeSpan.Zero);
    private static readonly Site Yard = new() { Id = "yard", Plantings = [new Planting("old-peach")] };
    private static readonly Quantity[] Quantities = [Quantity.Temperature, Quantity.Humidity, Quantity.Rain];
    private readonly string _folder = Directory.CreateTempSubdirectory("sentinel-restart").FullName;

    public void Dispose() => Directory.Delete(_folder, true);

    private static SeriesMap[] Series =>
        [
            .. Quantities.Select(quantity => new SeriesMap
            {
                SiteId = "yard",
                Quantity = quantity,
                Topic = "station",
                Path = quantity.ToString(),
                TimePath = "at",
                RainIsTotal = quantity == Quantity.Rain,
            }),
        ];

    private static List<string> WetDay()
    {
        List<string> messages = [];
        var total = 100.0;
        for (var i = 0; i < 144; i++)
        {
            var wet = i is >= 24 and < 120;
            total += wet ? 0.2 : 0;
            messages.Add(
                string.Create(
                    CultureInfo.InvariantCulture,
                    $"{{\"at\":{Dawn.AddMinutes(10 * i).ToUnixTimeSeconds()},\"Temperature\":12.5,\"Humidity\":"
                        + $"{(wet ? 97 : 60)},\"Rain\":{total:0.0}}}"));
        }

        return messages;
    }

    private static async Task<(List<string> Announced, string Risk)> Run(
        string file,
        IEnumerable<string> messages,
        DateTimeOffset? from = null)
    {
        List<string> announced = [];
        var risk = "";
        using var store = SentinelStore.Open(file);
        var loop = new SentinelLoop(
            store,
            new PayloadMap(Series, true),
            [Yard],
            message =>
                risk = message.Topic.EndsWith("/risk", StringComparison.Ordinal) ? Encoding.UTF8.GetString(message.Payload.Span) : risk,
            new LoopOptions { ClockFromReadings = true, SeasonStart = from },
            TimeProvider.System,
            Logger.None,
            (_, _, fact) => announced.Add(fact.Key));
        foreach (var message in messages)
            await loop.OfferAsync(new ArrivedMessage("station", Encoding.UTF8.GetBytes(message)), TestContext.Current.CancellationToken);
        loop.Complete();
        await loop.RunAsync(CancellationToken.None);
        return (announced, risk);
    }

    [Fact]
    public async Task Restarts_after_every_few_messages_change_nothing_and_announce_nothing_twice()
    {
        var day = WetDay();
        var (atOnce, risk) = await Run(Path.Combine(_folder, "one.db"), day);
        Assert.Contains(atOnce, key => key.Contains("wet-hours-opened", StringComparison.Ordinal));
        Assert.Contains(atOnce, key => key.Contains("level-", StringComparison.Ordinal));

        List<string> inPieces = [];
        var last = "";
        foreach (var piece in day.Chunk(7))
        {
            // The broker sends the message before once more, as after a crash between commit and acknowledgement.
            var (announced, now) = await Run(Path.Combine(_folder, "two.db"), [day[Math.Max(0, day.IndexOf(piece[0]) - 1)], .. piece]);
            inPieces.AddRange(announced);
            last = now;
        }

        Assert.Equal(atOnce, inPieces);
        Assert.Equal(risk, last);
        using var one = SentinelStore.Open(Path.Combine(_folder, "one.db"));
        using var two = SentinelStore.Open(Path.Combine(_folder, "two.db"));
        Assert.Equal(one.Events(), two.Events());
        Assert.Equal(one.ReadSeason(), two.ReadSeason());
        Assert.Equal(
            19.2,
            one.ReadSeason().Where(row => one.SeriesNames[row.Series].Contains("/rain/", StringComparison.Ordinal)).Sum(row => row.Value),
            6);
    }

    [Fact]
    public async Task Where_a_season_is_read_from_a_day_on_nothing_is_told_of_its_first_fortnight()
    {
        var (told, _) = await Run(Path.Combine(_folder, "whole.db"), WetDay());
        Assert.NotEmpty(told);
        Assert.Empty((await Run(Path.Combine(_folder, "begun.db"), WetDay(), Dawn.AddDays(-1))).Announced);
        Assert.Equal(told, (await Run(Path.Combine(_folder, "settled.db"), WetDay(), Dawn.AddDays(-15))).Announced);
    }

    [Fact]
    public async Task The_published_risk_is_the_standing_judgement()
    {
        var (_, risk) = await Run(Path.Combine(_folder, "risk.db"), WetDay().Take(115));
        using var json = JsonDocument.Parse(risk);
        Assert.True(json.RootElement.GetProperty("level_number").GetInt32() >= 2, risk);
        // The rain that shows in the total at 04:00 fell in the ten minutes before.
        Assert.Equal("2027-03-01T03:50:00Z", json.RootElement.GetProperty("spell").GetProperty("start").GetString());
        Assert.True(DateTimeOffset.TryParse(json.RootElement.GetProperty("as_of").GetString(), CultureInfo.InvariantCulture, out _));
        Assert.NotEqual("", json.RootElement.GetProperty("opinions").GetProperty("wet-hours").GetString());
    }
}
