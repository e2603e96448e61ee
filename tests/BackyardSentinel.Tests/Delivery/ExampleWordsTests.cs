using BackyardSentinel.Tests;
using BackyardSentinel.Units;

namespace BackyardSentinel.Delivery;

/// <summary>Every kind of alert as phones and programs get it: words in both languages and both systems of units, and the facts.</summary>
public sealed class ExampleWordsTests
{
    private static readonly AlertNames Names = new(
        (site, planting) => planting == "white-peach" ? $"the old peach of {site}" : null,
        series => series == "air-temperature" ? "Hub am Schuppen" : null,
        (_, _, _) => "leaf east");

    // Set to 1 to write the record anew; read what has changed before committing.
    private const string WriteVariable = "BACKYARD_SENTINEL_WRITE";

    [Fact]
    public void Each_kind_of_alert_reads_as_on_record()
    {
        var zone = TimeZoneInfo.FindSystemTimeZoneById("Europe/Ljubljana");
        AlertWords[] languages = [AlertWords.English(), AlertWords.English(UnitSystem.Us), AlertWords.BuiltIn("de")];
        var told = new StringBuilder();
        foreach (var alert in ExampleAlerts.OfEveryKind())
        {
            told.Append(
                CultureInfo.InvariantCulture,
                $"{alert.Kind}, {alert.Urgency}, until {alert.UsefulUntil:yyyy-MM-dd HH:mm}, {alert.Id}, {alert.Episode}\n");
            foreach (var (name, value) in new AlertText("", "").For(alert).Facts)
                told.Append(CultureInfo.InvariantCulture, $"    {name}: {value.Replace("\n", " | ", StringComparison.Ordinal)}\n");
            foreach (var words in languages)
            {
                var text = words.Say(alert, _ => zone, Names);
                told.Append(CultureInfo.InvariantCulture, $"  {text.Title}\n");
                foreach (var line in text.Body.Split('\n'))
                    told.Append(CultureInfo.InvariantCulture, $"    {line}\n");
            }
        }

        var record = Checkout.Path("tests", "scenarios", "alerts.txt");
        if (Environment.GetEnvironmentVariable(WriteVariable) == "1")
            File.WriteAllText(record, told.ToString());
        Assert.Equal(File.ReadAllText(record), told.ToString());
    }

    [Theory]
    [InlineData("en", "this service was off, or its broker out of reach", "gateway, power, network.")]
    [InlineData("de", "Dieser Dienst war aus oder sein Broker nicht erreichbar", "Gateway, Strom, Netz.")]
    public void Sensors_that_nobody_listened_to_are_not_blamed(string language, string why, string then)
    {
        var words = AlertWords.BuiltIn(language);
        var at = new DateTimeOffset(2027, 3, 4, 9, 10, 0, TimeSpan.Zero);
        var many = Body(new Alerting.SensorsSilent("south-wall", at, 20, at.AddHours(-3)) { Unheard = true });
        var one = Body(new Alerting.SensorSilent("south-wall", at, "air", Quantity.Rain, at.AddHours(-3)) { Unheard = true });
        Assert.All([many, one], lines => Assert.Equal(4, lines.Length));
        Assert.Contains(why, many[1], StringComparison.Ordinal);
        Assert.EndsWith(then, many[2], StringComparison.Ordinal);
        Assert.Contains(why, one[2], StringComparison.Ordinal);

        string[] Body(Alerting.Occasion occasion) =>
            words.Say(Alerting.Alert.Of(occasion, at), _ => TimeZoneInfo.Utc).Body.Split('\n');
    }

    /// <summary>
    /// Names are as long as the title allows, down to four characters; of two plantings both, down to nine, then their number.
    /// </summary>
    [Fact]
    public void Names_are_cut_as_far_as_a_title_needs_it()
    {
        var words = AlertWords.English();
        var example = (Alerting.LevelRisen)ExampleAlerts.OfEveryKind()[0].Occasions[0];
        for (var length = 1; length <= 60; length++)
        {
            var (site, planting, other) = (new string('s', length), new string('p', length), new string('q', length));
            var one = Occasion(site, planting);
            var two = Occasion(site, other);
            Assert.Equal(
                Fitted(most => $"Curl weather likely: {Cut(planting, most)}, {Cut(site, most)}", 40, 4),
                words.Say(Alerting.Alert.Of(one, one.At), _ => TimeZoneInfo.Utc).Title);
            Assert.Equal(
                Fitted(most => $"Curl weather likely: {Cut(planting, most)} and {Cut(other, most)}, {Cut(site, most)}", 40, 9)
                    is { Length: <= 50 } both ? both
                : Fitted(most => $"Curl weather likely: 2 plantings, {Cut(site, most)}", 40, 4),
                words.Say(Alerting.Alert.Together([one, two], one.At), _ => TimeZoneInfo.Utc).Title);
            var test = words.Test(new string('g', length), example.At, TimeZoneInfo.Utc).Title;
            Assert.True(test.Length <= 50 && (test.Length == 50) == test.EndsWith('…') || !test.EndsWith('…'), test);
        }

        Alerting.LevelRisen Occasion(string site, string planting) =>
            new(site, planting, example.At, example.Level!.Value, example.From, example.At, example.SpellStart)
            {
                Rule = example.Rule,
                LookFrom = example.LookFrom,
            };

        static string Cut(string name, int most) => name.Length <= most ? name : name[..(most - 1)] + "…";

        static string Fitted(Func<int, string> title, int from, int to)
        {
            for (var most = from; most > to; most--)
            {
                if (title(most).Length <= 50)
                    return title(most);
            }

            return title(to);
        }
    }
}
