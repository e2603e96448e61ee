using AngleSharp.Html.Dom;
using BackyardSentinel.Commands.Examine;

namespace BackyardSentinel.Web;

/// <summary>What <c>check</c> and <c>examine</c> say of a garden with <c>language: de</c>, as its page shows it.</summary>
public sealed class GermanSetUpTests : IDisposable
{
    private static readonly DateTimeOffset Now = new(2027, 3, 4, 7, 20, 0, TimeSpan.Zero);

    private readonly string _folder = Directory.CreateTempSubdirectory("set-up-").FullName;

    public void Dispose() => Directory.Delete(_folder, true);

    [Fact]
    public async Task Of_an_installation_that_is_not_there_everything_is_told_in_German()
    {
        var page = await PageAsync(port: 1);
        var text = GermanPageTests.WordsOf(page);

        Assert.Contains("Unter 127.0.0.1:1 antwortet nichts.", text, StringComparison.Ordinal);
        Assert.Contains("Noch gibt es keine Datenbank", text, StringComparison.Ordinal);
        Assert.Contains("Die Gartendatei nennt kein Ziel", text, StringComparison.Ordinal);
        Assert.Contains("Zeile 46: die Zahlen von fixed-copper sind nur ein Anfang", text, StringComparison.Ordinal);
        Assert.Contains("white-peach: Ohne chill_need gelten 62,5 Kälteportionen, veröffentlicht für", text, StringComparison.Ordinal);
        Assert.Empty(page.QuerySelectorAll("[lang=en]"));
        Assert.Contains("Datenträger", page.QuerySelectorAll("dt").Select(one => one.TextContent));
        Assert.Equal(48, page.QuerySelectorAll("dt").Length);
        Assert.Empty(GermanPageTests.EnglishIn(page));
    }

    [Fact]
    public async Task So_is_what_a_broker_and_a_store_show()
    {
        await using var broker = await EmbeddedBroker.StartAsync();
        using (var store = SentinelStore.Open(Path.Combine(_folder, "sentinel.db")))
        {
            StoreBatch batch = new();
            var garden = GardenFileReader.ReadText("garden.yaml", PageGarden.Wall).Garden!;
            var air = store.SeriesId(garden.Series.First(one => one.Quantity == Quantity.Temperature).Name);
            for (var hours = 24 * 4; hours > 5; hours--)
            {
                var at = Now.AddHours(-hours).ToUnixTimeMilliseconds();
                batch.Readings.Add(new StoredReading(air, at, 48, at * 1000));
            }

            store.Commit(batch);
        }

        var page = await PageAsync(broker.Port);
        var text = GermanPageTests.WordsOf(page);

        Assert.Contains("Der Broker lässt das Programm ein.", text, StringComparison.Ordinal);
        Assert.Contains("Seit drei Stunden oder länger kein Messwert: Temperatur (garden/climate)", text, StringComparison.Ordinal);
        Assert.Contains("Die letzte Nachricht kam vor 6 h", text, StringComparison.Ordinal);
        Assert.Contains("sieht nach °F aus", text, StringComparison.Ordinal);
        Assert.Empty(GermanPageTests.EnglishIn(page));
    }

    [Fact]
    public async Task A_file_that_was_changed_since_the_service_read_it_is_said_to_wait_for_it()
    {
        var (asRead, changed) = (await PageAsync(port: 1), await PageAsync(port: 1, after: "\n# a note\n"));

        Assert.Contains("Sie gilt: 1 Standort", GermanPageTests.WordsOf(asRead), StringComparison.Ordinal);
        Assert.Contains("Sie wurde geändert, seit der Dienst sie las", GermanPageTests.WordsOf(changed), StringComparison.Ordinal);
        Assert.Contains("sudo systemctl reload backyard-sentinel", GermanPageTests.WordsOf(changed), StringComparison.Ordinal);
    }

    [Fact]
    public async Task So_is_what_is_wrong_with_the_garden_file_since_the_service_began()
    {
        var page = await PageAsync(port: 1, after: "\nstor: {}\nproducts: none\n");

        Assert.Equal(
            [
                "Zeile 54: 'stor' ist in der Gartendatei kein Schlüssel; ist store gemeint?",
                "Zeile 55: der Schlüssel 'products' steht hier ein zweites Mal (zuerst in Zeile 43); nur einer von beiden könnte gelten; "
                    + "erwartet: jeder Schlüssel einmal; eine der beiden Zeilen löschen",
            ],
            page.QuerySelectorAll("p.bad").Select(fault => fault.TextContent.Replace('\u00a0', ' ')));
        Assert.Contains(
            "garden.yaml ist so nicht zu gebrauchen, mit 2 Fehlern; der erste: 'stor' ist in der Gartendatei kein Schlüssel.",
            GermanPageTests.WordsOf(page),
            StringComparison.Ordinal);
        Assert.Empty(page.QuerySelectorAll("[lang=en]"));
        Assert.Empty(GermanPageTests.EnglishIn(page));
    }

    /// <summary>The page Set-up over a garden file that lies in the folder.</summary>
    /// <param name="port">The broker's port.</param>
    /// <param name="after">What was written to the file since the service began.</param>
    private async Task<IHtmlDocument> PageAsync(int port, string after = "")
    {
        var file = Path.Combine(_folder, "garden.yaml");
        var garden = new PageGarden { Now = Now }.InGerman();
        await File.WriteAllTextAsync(file, $"broker:\n  port: {port}\n{garden.File}", TestContext.Current.CancellationToken);
        var (read, problems) = GardenFileReader.Read(file);
        Assert.True(read is not null, string.Join('\n', problems));
        await File.AppendAllTextAsync(file, after, TestContext.Current.CancellationToken);
        var look = await Examination.ForPageAsync(file, read, new FakeTimeProvider(Now), TestContext.Current.CancellationToken);
        await using var house = await PageHouse.OpenAsync(garden with { Examine = _ => Task.FromResult(look) });
        return await house.GetAsync("/set-up");
    }
}
