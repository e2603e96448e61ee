using BackyardSentinel.Commands.Replay;
using BackyardSentinel.Delivery;
using BackyardSentinel.Hosting;

namespace BackyardSentinel.Tests.Commands;

/// <summary>What people read calls a planting as the grower does; machines get its id.</summary>
public sealed class GrowersNamesTests : IDisposable
{
    private static readonly Site Named = LogFolder.Site with { Plantings = [new Planting("p1") { Name = "old peach" }] };

    private readonly LogFolder _folder = new();

    public void Dispose() => _folder.Dispose();

    [Fact]
    public void Explain_calls_a_planting_by_its_name_and_its_json_by_its_id()
    {
        var begin = ExplainGarden.Utc(2027, 4, 10);
        using var garden = new ExplainGarden(plantings: "{ id: p1, name: old peach, kind: peach }").Weather(
            begin.AddDays(-1),
            begin.AddHours(20),
            9.3,
            97,
            0.4);
        var text = garden.Explain(begin.AddHours(20)).Output;
        Assert.Contains("old peach, south-wall on ", text, StringComparison.Ordinal);
        Assert.DoesNotContain("p1", text, StringComparison.Ordinal);
        var json = garden.Explain(begin.AddHours(20), "--json").Output;
        Assert.Contains("\"p1\"", json, StringComparison.Ordinal);
    }

    [Fact]
    public void Replay_calls_a_planting_by_its_name_and_its_json_by_its_id()
    {
        var result = _folder.Judge(LogFolder.Text(), site: Named);
        using var text = new StringWriter();
        ReplayText.Write(result, text);
        Assert.Contains("  old peach ", text.ToString(), StringComparison.Ordinal);
        Assert.DoesNotContain("p1", text.ToString(), StringComparison.Ordinal);
        Assert.All(result.Windows, window => Assert.Equal("p1", window.Planting));
    }

    [Fact]
    public void The_narration_calls_a_planting_by_its_name()
    {
        using var text = new StringWriter();
        var narrator = new Narrator(text);
        SiteWatch watch = null!;
        watch = new SiteWatch(Named with { HasRainGauge = true }, fact => narrator.Tell("log", watch, fact));
        foreach (var hour in Enumerable.Range(0, 22))
        {
            watch.Accept(
                new Weather.Reading(Garden.Quantity.Temperature, LogFolder.Start.AddHours(hour), 9.5, TimeSpan.FromHours(1)),
                LogFolder.Start.AddHours(hour + 1));
            watch.Accept(
                new Weather.Reading(Garden.Quantity.Humidity, LogFolder.Start.AddHours(hour), 95, TimeSpan.FromHours(1)),
                LogFolder.Start.AddHours(hour + 1));
            watch.Accept(
                new Weather.Reading(Garden.Quantity.Rain, LogFolder.Start.AddHours(hour), 0.5, TimeSpan.FromHours(1)),
                LogFolder.Start.AddHours(hour + 1));
        }

        Assert.Contains("old peach: ", text.ToString(), StringComparison.Ordinal);
        Assert.DoesNotContain("p1", text.ToString(), StringComparison.Ordinal);
    }

    [Fact]
    public void A_test_message_is_in_the_gardens_own_words()
    {
        using var built = new StreamReader(typeof(AlertWords).Assembly.GetManifestResourceStream("words.en.liquid")!);
        var words = AlertWords.Read(
            built.ReadToEnd().Replace("Nothing has happened in the garden.", "Im Garten ist nichts geschehen.", StringComparison.Ordinal),
            "de.liquid");
        var text = words.Test("Gerbergasse", LogFolder.Start, TimeZoneInfo.Utc);
        Assert.Equal("Sent for Gerbergasse on Mon 1 Feb 00:00.\nThis is how alerts reach you. Im Garten ist nichts geschehen.", text.Body);
    }
}
