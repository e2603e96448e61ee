using BackyardSentinel.Wording;

namespace BackyardSentinel.Web;

/// <summary>Why messages were refused, and what listening proposes, on the page of a garden with <c>language: de</c>.</summary>
public sealed class GermanSensorsTests
{
    // No field may be called by an English word here, or it would be taken for one.
    private static readonly PageGarden Wall = new PageGarden
    {
        Now = new DateTimeOffset(2027, 3, 4, 7, 20, 0, TimeSpan.Zero),
        File = PageGarden.Wall.Replace("time: at", "time: zeit", StringComparison.Ordinal),
    }.InGerman();

    private static long Second => Wall.Now.AddMinutes(-5).ToUnixTimeSeconds();

    public static TheoryData<string, string, string> Refused => new()
    {
        { "garden/rain", $$"""{"zeit":{{Second}},"mm":"lots"}""", "\"lots\" ist keine Zahl." },
        { "garden/rain", $$"""{"zeit":{{Second}},"mm":"1,5"}""", "\"1,5\" hat ein Komma; ist es ein Dezimalzeichen, für diese Reihe" },
        { "garden/rain", $$"""{"zeit":{{Second}},"MM":2}""", "nichts im Pfad mm; die Nachricht hat zeit, MM; ist der Pfad MM?" },
        { "garden/rain", $$"""{"zeit":{{Second}},"mm":"2 hPa"}""", "trägt \"hPa\"; das ist keine bekannte Einheit für Regen." },
        { "garden/rain", "{", "kein JSON ab Byte 1 der Zeile 1." },
        { "garden/rain", $$"""{"zeit":{{Second}},"mm":777}""", "777,0; Regen kann nicht sein" },
    };

    [Theory]
    [MemberData(nameof(Refused))]
    public async Task A_refused_message_is_told_in_German_from_what_the_store_has_of_it(string topic, string payload, string told)
    {
        var before = PageGarden.Message("garden/climate", $$"""{"zeit":{{Second - 60}},"air":4,"humidity":70}""");
        await using var house = await PageHouse.OpenAsync(Wall with { Past = [before, PageGarden.Message(topic, payload)] });

        var page = await house.GetAsync("/sensors");
        var wrong = page.QuerySelectorAll(".bad p").Select(one => one.TextContent.Replace('\u00a0', ' '))
            .First(text => text.StartsWith("Abgelehnt", StringComparison.Ordinal));

        Assert.Contains(told, wrong, StringComparison.Ordinal);
        Assert.Empty(page.QuerySelectorAll("[lang=en]"));
        foreach (var sent in page.QuerySelectorAll(".bad details").ToList())
            sent.Remove();
        Assert.Empty(GermanPageTests.EnglishIn(page));
    }

    [Fact]
    public async Task Words_of_another_server_stay_English_and_are_marked_as_such()
    {
        var words = Delivery.AlertWords.BuiltIn("de").Page(TimeZoneInfo.Utc);
        Sentence refused = $"the InfluxDB server refuses this point: {new English("partial <write>")}";
        await using var html = new StringWriter();

        words.Tell(refused).WriteTo(html, System.Text.Encodings.Web.HtmlEncoder.Default);

        Assert.Equal(
            "der InfluxDB-Server lehnt diesen Punkt ab: <span lang=\"en\">partial &lt;write&gt;</span>",
            html.ToString());
    }

    [Fact]
    public async Task What_a_message_gives_and_what_is_proposed_of_it_is_told_in_German()
    {
        await using var house = await PageHouse.OpenAsync(Wall);
        (string Topic, string Message, string Told)[] shown =
        [
            ("shed/box", """{"temperature":75.5,"rssi":-80,"mystery":4,"rain_total":812,"time":"2027-03-04T08:00:00"}""",
                "Keine Einheit ist genannt; in °C ist kein Garten so warm."),
            ("shed/box", """{"temperature":75.5,"rssi":-80}""", "es betrifft den Funk des Sensors"),
            ("shed/box", """{"rain_total":812}""", "der erste Stand, ab dem Regen gezählt wird"),
            ("shed/leaf", """{"leaf_wetness":1}""", "Es kamen nur 0 und 1, also gilt 1 als nass"),
            ("shed/leaf", """{"leaf_wetness":2900}""", "es ist Blattnässe auf einer eigenen Skala"),
            ("garden/climate", """{"air":8.5,"humidity":"--"}""", "der Sensor sagt \"--\""),
            ("garden/climate", """{"zeit":"yesterday","air":8.5,"humidity":90}""", "\"yesterday\" ist keine Zeit nach ISO 8601; es gilt die Zeit"),
            ("", "quitten", "\"quitten\" ist keine Zahl"),
        ];

        foreach (var (topic, message, told) in shown)
        {
            using var answer = await house.PostAsync("/sensors/message", ("topic", topic), ("message", message));
            var page = await PageHouse.ParseAsync(answer);
            Assert.Contains(told, GermanPageTests.WordsOf(page), StringComparison.Ordinal);
            foreach (var typed in page.QuerySelectorAll("textarea, pre").ToList())
                typed.Remove();
            Assert.Empty(GermanPageTests.EnglishIn(page));
        }
    }
}
