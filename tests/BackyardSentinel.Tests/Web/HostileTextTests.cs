using System.Text.Json;
using AngleSharp.Dom;
using BackyardSentinel.Alerting;
using BackyardSentinel.Contract;
using BackyardSentinel.Infection;
using BackyardSentinel.Weather;
using BackyardSentinel.Web.SetUp;
using BackyardSentinel.Wording;

namespace BackyardSentinel.Web;

/// <summary>
/// Nothing that a person, a sensor or an address hands in becomes markup: a page filled with hostile text has the very elements and
/// attributes of the same page filled with plain words, and shows the text as it was.
/// </summary>
public sealed class HostileTextTests(HostileHouses houses) : IClassFixture<HostileHouses>
{
    internal const string Plain = "plain words";

    private static readonly string[] Addresses = ["/", "#", "mailto:"];

    private static CancellationToken Ct => TestContext.Current.CancellationToken;

    [Fact]
    public void There_is_enough_of_each_class() => Assert.InRange(HostileText.All.Distinct().Count(), 40, 200);

    [Theory]
    [InlineData("/")]
    [InlineData("/weather")]
    [InlineData("/year")]
    [InlineData("/report")]
    [InlineData("/journal?all=1")]
    [InlineData("/journal/spray")]
    [InlineData("/spraying")]
    [InlineData("/sensors")]
    [InlineData("/set-up")]
    [InlineData("/alert/x55")]
    public async Task Names_notes_alerts_and_messages_stay_text(string path)
    {
        var (hostile, plain) = (houses.Hostile, houses.Plain);

        var (page, other) = (await hostile.GetAsync(path), await plain.GetAsync(path));

        Assert.Equal(Shape(other), Shape(page));
        Harmless(page);
        Assert.Contains("<x55>", page.DocumentElement.TextContent, StringComparison.Ordinal);
    }

    [Fact]
    public async Task What_is_typed_into_a_form_comes_back_as_it_was()
    {
        var (hostile, plain) = (houses.Hostile, houses.Plain);
        foreach (var (path, field) in Fields)
        {
            using var other = await plain.PostAsync(path, (field, Plain));
            var shape = Shape(await PageHouse.ParseAsync(other)).ToList();
            // A note has at most 200 characters.
            foreach (var piece in field == "note" ? HostileText.Line.Chunk(190).Select(signs => new string(signs)) : [HostileText.Line])
            {
                using var answer = await hostile.PostAsync(path, (field, piece));
                var page = await PageHouse.ParseAsync(answer);
                Assert.True(shape.SequenceEqual(Shape(page)), $"{path} {field}: {piece}");
                Harmless(page);
            }
        }
    }

    [Fact]
    public async Task A_message_that_is_shown_stays_text()
    {
        var hostile = houses.Hostile;
        foreach (var text in HostileText.All)
        {
            foreach (var (topic, message) in new[]
            {
                (text.Replace("#", "", StringComparison.Ordinal).Replace("+", "", StringComparison.Ordinal), "21.5"),
                ("a/topic", text),
                ("a/topic", JsonSerializer.Serialize(new Dictionary<string, object> { [text] = 21.5, ["air"] = text })),
                ("garden/climate", $"{{\"air\":{JsonSerializer.Serialize(text)}}}"),
            })
            {
                using var answer = await hostile.PostAsync("/sensors/message", ("topic", topic), ("message", message));
                Harmless(await PageHouse.ParseAsync(answer));
            }
        }
    }

    [Fact]
    public async Task What_was_heard_of_the_broker_stays_text()
    {
        await using var house = await PageHouse.OpenAsync(Garden(HostileText.Line));
        using var begun = await house.PostAsync("/sensors/listen");
        var page = await house.GetAsync("/sensors/message");
        // The messages come one by one, and all of them are waited for.
        for (var i = 0; i < 500 && !HasAll(); i++)
        {
            await Task.Delay(20, Ct);
            page = await house.GetAsync("/sensors/message");
        }

        bool HasAll() => page.QuerySelector("main pre") is not null
            && page.QuerySelector("[role=status]")?.TextContent.Contains("x55", StringComparison.Ordinal) == true;

        Harmless(page);
        Harmless(await house.GetAsync("/set-up"));
        Assert.Contains(page.QuerySelectorAll("main pre"), block => block.TextContent.Contains("<x55>", StringComparison.Ordinal));
        Assert.Contains("x55", page.QuerySelector("[role=status]")!.TextContent, StringComparison.Ordinal);
    }

    [Fact]
    public async Task What_an_address_holds_stays_text()
    {
        var hostile = houses.Hostile;
        foreach (var text in HostileText.All.Select(Uri.EscapeDataString))
        {
            string[] paths =
            [
                $"/?site={text}",
                $"/weather?days={text}",
                $"/journal?written={text}&taken={text}",
                $"/alert/{text}",
                $"/{text}",
                $"/enter?key={text}",
            ];
            foreach (var path in paths)
            {
                using var answer = await hostile.Browser.GetAsync(new Uri(path, UriKind.Relative), Ct);
                if (answer.Content.Headers.ContentType?.MediaType == "text/html")
                    Harmless(await PageHouse.ParseAsync(answer));
                // A line break in a header would be another header.
                Assert.DoesNotContain(answer.Headers, header => header.Key.Contains("x55", StringComparison.OrdinalIgnoreCase));
            }
        }
    }

    [Fact]
    public async Task The_calendar_the_figures_and_the_documents_can_be_read_all_the_same()
    {
        var (hostile, plain) = (houses.Hostile, houses.Plain);

        var (calendar, other) = (
            Ical.Net.Calendar.Load(await hostile.Browser.GetStringAsync(new Uri("/calendar.ics", UriKind.Relative), Ct))!,
            Ical.Net.Calendar.Load(await plain.Browser.GetStringAsync(new Uri("/calendar.ics", UriKind.Relative), Ct))!);
        using var garden = JsonDocument.Parse(await hostile.Browser.GetStringAsync(new Uri("/api/garden", UriKind.Relative), Ct));
        var figures = await hostile.Browser.GetStringAsync(new Uri("/metrics", UriKind.Relative), Ct);

        Assert.Equal(other.Events.Count, calendar.Events.Count);
        Assert.DoesNotContain(
            calendar.Events.SelectMany(one => one.Properties), one => one.Name.StartsWith("X-X55", StringComparison.Ordinal));
        Assert.Contains(
            "<x55>",
            garden.RootElement.GetProperty("sites")[0].GetProperty("plantings")[0].GetProperty("name").GetString(),
            StringComparison.Ordinal);
        Assert.Equal(
            (await plain.Browser.GetStringAsync(new Uri("/metrics", UriKind.Relative), Ct)).Split('\n').Length, figures.Split('\n').Length);
    }

    /// <summary>Each form's fields that a person types into or chooses in.</summary>
    private static readonly (string Path, string Field)[] Fields =
    [
        .. new[] { "tree", "state", "stage", "day", "date", "note" }.Select(field => ("/journal/stage", field)),
        .. new[] { "tree", "product", "volume-white-peach", "rate-winter-copper", "at", "day", "date", "note" }.Select(
            field => ("/journal/spray", field)),
        .. new[] { "tree", "worst", "shoots", "curled", "day", "date", "note" }.Select(field => ("/journal/scout", field)),
        .. new[] { "tree", "day", "date", "note" }.Select(field => ("/journal/pick", field)),
        .. new[] { "tree", "fallen", "day", "date", "note" }.Select(field => ("/journal/leaf-fall", field)),
        .. new[] { "tree", "state", "day", "date", "note" }.Select(field => ("/journal/shelter", field)),
    ];

    /// <summary>A garden in which everything that can be called something is called so.</summary>
    internal static PageGarden Garden(string text)
    {
        var spring = PageStates.All["possible"];
        var file = GardenFileReader.ReadText("garden.yaml", PageGarden.Wall).Garden!;
        file = file with { Broker = file.Broker with { Host = text }, Store = file.Store with { Path = text } };
        Sentence says = $"{Sentence.Of(text)} {Sentence.InEnglish(text)}";
        return spring with
        {
            // Longer than a name may be, so that each holds all of the corpus; two of a kind differ.
            Change = read => read with
            {
                Name = text,
                Series = [.. read.Series.Select(one => one with { Label = text })],
                Products = [.. read.Products.Select(one => one with { Name = $"{text} {one.Id}" })],
                Sites =
                [
                    .. read.Sites.Select(site => site with
                    {
                        Products = [.. site.Products.Select(one => one with { Name = $"{text} {one.Id}" })],
                        Plantings = [.. site.Plantings.Select(one => one with { Name = $"{text} {one.Id}", Variety = text })],
                    }),
                ],
            },
            Journal =
            [
                .. spring.Journal,
                .. HostileText.All.Take(30).Select((one, i) => new PickEntry(0, "south-wall", "white-peach", new DateOnly(2027, 2, 1))
                {
                    Note = text == Plain ? Plain : one,
                    On = new DateOnly(2027, 1, 1).AddDays(i),
                }),
            ],
            Told =
            [
                new AlertMessage(
                    "x55", "x55", "south-wall", ["white-peach"], "level-risen", Level.Possible, Urgency.Normal, spring.Now.AddHours(-1),
                    spring.Now.AddDays(1), text, $"{text}\n{text}", AlertMessage.NoFacts),
            ],
            Past = [.. spring.Past, PageGarden.Message("garden/rain", $"{{\"mm\":{JsonSerializer.Serialize(text)}}}")],
            Forecast = new Forecast(text, spring.Now.AddHours(-1), [new(spring.Now.AddMinutes(-20), 8, 75, 0)], text, text),
            Examine = _ => Task.FromResult(new SetUpLook(
                spring.Now,
                text,
                file,
                [says],
                [says],
                new LinesToAdd(text, text),
                [.. Enum.GetValues<Finding>().Select(one => new FoundThing(says, one, says, says))])),
            Listen = (take, _, _) =>
            {
                foreach (var one in text == Plain ? [Plain] : HostileText.All)
                {
                    var json = JsonSerializer.Serialize(one);
                    foreach (var message in (string[])["{\"temperature\":7.5}", one, $"{{{json}:7.5}}", $"{{\"temperature\":{json}}}"])
                        take(message == one ? $"payload/{one.Length}" : one, Encoding.UTF8.GetBytes(message), false);
                }

                return Task.FromResult<IReadOnlyList<Sentence>>([says]);
            },
        };
    }

    /// <summary>Its elements with the names of their attributes, in their order.</summary>
    private static IEnumerable<string> Shape(IDocument page) =>
        from element in page.All
        let names = element.Attributes.Select(attribute => attribute.Name).Where(name => name is not ("checked" or "value"))
        select $"{element.LocalName} {string.Join(' ', names)}";

    private static void Harmless(IDocument page)
    {
        Assert.DoesNotContain(page.All, element => element.LocalName.Contains("x55", StringComparison.OrdinalIgnoreCase)
            || element.LocalName is "iframe" or "base" or "object" or "embed" or "template" or "math" or "img");
        Assert.DoesNotContain(page.All.SelectMany(element => element.Attributes), attribute =>
            attribute.Name.Contains("x55", StringComparison.OrdinalIgnoreCase)
            || attribute.Name.StartsWith("on", StringComparison.OrdinalIgnoreCase)
            || attribute.Name is "style" or "srcdoc" or "http-equiv" or "autofocus");
        Assert.All(page.Scripts, script => Assert.Equal("/page.js", script.GetAttribute("src")));
        Assert.All(
            page.All.SelectMany(
                element => new[] { "href", "src", "action", "formaction", "xlink:href" }.Select(element.GetAttribute)).OfType<string>(),
            address => Assert.True(
                Addresses.Any(beginning => address.StartsWith(beginning, StringComparison.Ordinal))
                    && !address.StartsWith("//", StringComparison.Ordinal),
                address));
    }
}

/// <summary>Two houses over the same garden: one in which all names are hostile, and one in which they are plain.</summary>
public sealed class HostileHouses : IAsyncLifetime
{
    /// <summary>The hostile one.</summary>
    public PageHouse Hostile { get; private set; } = null!;

    /// <summary>The plain one.</summary>
    public PageHouse Plain { get; private set; } = null!;

    /// <inheritdoc/>
    public async ValueTask InitializeAsync()
    {
        Hostile = await PageHouse.OpenAsync(HostileTextTests.Garden(HostileText.Line));
        Plain = await PageHouse.OpenAsync(HostileTextTests.Garden(HostileTextTests.Plain));
    }

    /// <inheritdoc/>
    public async ValueTask DisposeAsync()
    {
        await Hostile.DisposeAsync();
        await Plain.DisposeAsync();
    }
}
