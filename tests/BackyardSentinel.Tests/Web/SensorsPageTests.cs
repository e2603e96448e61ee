using System.Net;
using AngleSharp.Dom;
using BackyardSentinel.Contract;
using BackyardSentinel.Web.SetUp;
using BackyardSentinel.Wording;

namespace BackyardSentinel.Web;

public sealed class SensorsPageTests
{
    private static readonly DateTimeOffset Morning = new(2027, 3, 4, 5, 40, 0, TimeSpan.Zero);

    private static CancellationToken Ct => TestContext.Current.CancellationToken;

    private static PageGarden Wall =>
        new() { Now = Morning, Past = [.. PageGarden.Weather(Morning.AddMinutes(-3), 30, airC: 8.9, humidityPct: 96, rainMm: 0.2)] };

    [Fact]
    public async Task A_series_that_is_refused_and_doubted_counts_once_on_now_and_in_the_contents()
    {
        await using var house = await PageHouse.OpenAsync(PageStates.All["refused"]);
        var now = (await house.GetAsync("/")).Body!.TextContent;
        Assert.Equal(2, System.Text.RegularExpressions.Regex.Count(now, "2 series refused"));
    }

    [Fact]
    public async Task Each_series_tells_its_last_value_its_age_and_the_day()
    {
        await using var house = await PageHouse.OpenAsync(Wall);

        var page = await house.GetAsync("/sensors");

        Assert.Equal("All 3 series are heard. The values of 2 do not move.", Text(page.QuerySelector("h1")!));
        Assert.Equal(
            ["Temperature sensor by the wall 8.9 °C", "Humidity 96 %", "Rain 0.2 mm"],
            page.QuerySelectorAll(".ser h2").Select(Text));
        Assert.All(
            page.QuerySelectorAll(".ser"),
            series => Assert.Contains("3 min ago; mostly every 10 min", Text(series), StringComparison.Ordinal));
        Assert.Equal(3, page.QuerySelectorAll(".ser svg[role=img][aria-label]").Length);
        Assert.Contains("garden/climate · air", Text(page.QuerySelector(".ser .ids")!), StringComparison.Ordinal);
        Assert.Equal(24, page.QuerySelectorAll("details tbody tr").Length);
        // Six times 0.2 mm an hour.
        Assert.Contains("1.2 mm", Text(page.QuerySelectorAll("details tbody tr")[1]), StringComparison.Ordinal);
        Assert.DoesNotContain("Times of silence", Text(page.QuerySelector("main")!), StringComparison.Ordinal);
    }

    [Fact]
    public async Task A_value_and_a_message_that_were_refused_say_why_with_what_was_sent()
    {
        const string Hostile = "{\"at\":1804135000,\"mm\":\"<script>alert(1)</script>\"}";
        await using var house = await PageHouse.OpenAsync(Wall with
        {
            Past =
            [
                .. PageGarden.Weather(Morning.AddMinutes(-13), 30, airC: 8.9, humidityPct: 96),
                PageGarden.Message(
                    "garden/climate", $"{{\"at\":{Morning.AddMinutes(-3).ToUnixTimeSeconds()},\"air\":185,\"humidity\":96}}"),
                PageGarden.Message("garden/rain", Hostile),
            ],
        });

        var page = await house.GetAsync("/sensors");
        var bad = page.QuerySelectorAll(".bad").ToList();

        Assert.Contains("refused", Text(page.QuerySelector("h1")!), StringComparison.Ordinal);
        Assert.Contains(
            bad,
            one =>
                Text(one).Contains("185", StringComparison.Ordinal)
                    && Text(one).Contains("Kept aside, not counted.", StringComparison.Ordinal));
        Assert.Contains(
            bad, one => one.QuerySelector("details")?.TextContent.Contains("<script>alert(1)</script>", StringComparison.Ordinal) == true);
        Assert.Empty(page.QuerySelectorAll("main script"));
    }

    [Fact]
    public async Task A_silence_is_told_with_its_beginning_and_is_never_well()
    {
        await using var house = await PageHouse.OpenAsync(
            Wall with { Past = [.. PageGarden.Weather(Morning.AddHours(-5), 30, airC: 8.9, humidityPct: 96)] });

        var page = await house.GetAsync("/sensors");

        Assert.DoesNotContain("All 3", Text(page.QuerySelector("h1")!), StringComparison.Ordinal);
        Assert.Contains("01:40", Text(page.QuerySelector("h2 + .scroll")!), StringComparison.Ordinal);
        Assert.Contains("still silent", Text(page.QuerySelector("h2 + .scroll")!), StringComparison.Ordinal);
        Assert.Contains(page.QuerySelectorAll("svg rect"), rect => rect.ClassName == "gap");
    }

    [Fact]
    public async Task A_broker_that_cannot_be_reached_is_told_on_now_and_sensors_and_to_whoever_watches()
    {
        await using var house = await PageHouse.OpenAsync(PageStates.All["broker-away"]);

        var (now, sensors) = (await house.GetAsync("/"), await house.GetAsync("/sensors"));

        Assert.Equal("Nothing can be heard of the sensors.", sensors.QuerySelector("h1")!.TextContent);
        foreach (var page in new[] { now, sensors })
        {
            Assert.Contains("Nothing has been heard of the broker since ", page.Body!.TextContent, StringComparison.Ordinal);
            Assert.Contains("hub.lan refuses the connection to port 1883. Is", page.Body.TextContent, StringComparison.Ordinal);
            Assert.Contains("not heard", page.QuerySelector("nav")!.TextContent, StringComparison.Ordinal);
        }

        using var health = await house.Browser.GetAsync(new Uri("/health", UriKind.Relative), Ct);
        Assert.Equal(System.Net.HttpStatusCode.ServiceUnavailable, health.StatusCode);
        Assert.Contains(
            "\nsentinel_broker_reached 0\n",
            await house.Browser.GetStringAsync(new Uri("/metrics", UriKind.Relative), Ct),
            StringComparison.Ordinal);
    }

    [Fact]
    public async Task After_an_outage_of_the_service_a_silent_sensor_is_not_said_to_be_the_fault()
    {
        await using var house = await PageHouse.OpenAsync(
            Wall with { Past = [.. PageGarden.Weather(Morning.AddHours(-1), 30, airC: 8.9, humidityPct: 96)] });
        await house.LiveAsync(
            14, at => [PageGarden.Message("garden/climate", $"{{\"at\":{at.ToUnixTimeSeconds()},\"air\":{at.Minute / 10}}}")]);

        var page = Text((await house.GetAsync("/sensors")).QuerySelector("main")!);

        Assert.Contains("For some of that time nothing could be heard: this service was off", page, StringComparison.Ordinal);
        Assert.DoesNotContain("then at the broker", page, StringComparison.Ordinal);
    }

    [Fact]
    public async Task A_message_shows_what_it_gives_and_the_lines_for_the_garden_file()
    {
        await using var house = await PageHouse.OpenAsync(Wall);
        var empty = await house.GetAsync("/sensors/message");

        using var known = await house.PostAsync(
            "/sensors/message", ("topic", "garden/climate"), ("message", "{\"at\":1804134600,\"air\":7.5,\"humidity\":140}"));
        using var unknown = await house.PostAsync(
            "/sensors/message", ("topic", "shed/box"), ("message", "{\"temperature\":7.5,\"unit\":\"<b>\"}"));
        using var wrong = await house.PostAsync("/sensors/message", ("topic", "shed/#"), ("message", "7.5"));
        var (read, proposed, refused) = (
            await PageHouse.ParseAsync(known), await PageHouse.ParseAsync(unknown), await PageHouse.ParseAsync(wrong));

        Assert.NotNull(empty.QuerySelector("textarea"));
        Assert.Contains(
            "garden/climate air, south-wall: 7.5 °C", Text(read.QuerySelector("main")!), StringComparison.Ordinal);
        Assert.Contains("140", Text(read.QuerySelector("main")!), StringComparison.Ordinal);
        Assert.Contains(
            "- quantity: temperature\n  topic: shed/box\n  path: temperature",
            proposed.QuerySelector("pre")!.TextContent,
            StringComparison.Ordinal);
        Assert.Equal("#topic", refused.QuerySelector(".errs a")!.GetAttribute("href"));
        Assert.Empty(proposed.QuerySelectorAll("main b"));
    }

    [Fact]
    public async Task A_battery_is_shown_and_told_once_where_it_is_low_by_its_own_limit()
    {
        const string Battery = "        battery: batt\n        battery_low: 2.4\n";
        var file = PageGarden.Wall
            .Replace("path: air\n", $"path: air\n{Battery}", StringComparison.Ordinal)
            .Replace("path: humidity\n", $"path: humidity\n{Battery}", StringComparison.Ordinal)
            .Replace("path: mm\n", "path: mm\n        battery: ok\n        battery_low: 1\n", StringComparison.Ordinal);
        await using var house = await PageHouse.OpenAsync(Wall with { File = file });
        async Task SendAsync(string battery)
        {
            var at = house.Time.GetUtcNow().ToUnixTimeSeconds();
            await house.Loop.OfferAsync(
                PageGarden.Message("garden/climate", $"{{\"at\":{at},\"air\":9,\"humidity\":90,\"batt\":{battery}}}"), Ct);
            await house.Loop.OfferAsync(PageGarden.Message("garden/rain", $"{{\"at\":{at},\"mm\":0,\"ok\":true}}"), Ct);
            await house.Loop.AskAsync(now => now.At, Ct);
        }

        Assert.DoesNotContain("Battery", Text((await house.GetAsync("/sensors")).QuerySelector("main")!), StringComparison.Ordinal);
        await SendAsync("2.9");
        var fresh = await house.GetAsync("/sensors");
        await SendAsync("\"2.31\"");
        await SendAsync("null");
        var low = await house.GetAsync("/sensors");

        Assert.Contains("Battery: 2.9, as sent; low below 2.4.", Text(fresh.QuerySelector(".ser")!), StringComparison.Ordinal);
        Assert.Contains("Battery: 1, as sent; low below 1.", Text(fresh.QuerySelectorAll(".ser")[2]), StringComparison.Ordinal);
        Assert.DoesNotContain("low.", Text(fresh.QuerySelector("h1")!), StringComparison.Ordinal);
        Assert.Contains("One battery is low.", Text(low.QuerySelector("h1")!), StringComparison.Ordinal);
        Assert.Contains("1 battery is low", Text(low.QuerySelector(".contents")!), StringComparison.Ordinal);
        Assert.Contains(low.QuerySelectorAll(".bad"), one =>
            Text(one).StartsWith("Battery low: 2.31, as sent, below 2.4.", StringComparison.Ordinal));
    }

    [Fact]
    public async Task By_a_touch_the_broker_is_heard_for_a_minute_and_unknown_topics_are_proposed()
    {
        var (asked, over) = (0, new TaskCompletionSource<IReadOnlyList<Sentence>>(TaskCreationOptions.RunContinuationsAsynchronously));
        var heard = new TaskCompletionSource(TaskCreationOptions.RunContinuationsAsynchronously);
        await using var house = await PageHouse.OpenAsync(Wall with
        {
            Listen = (take, length, _) =>
            {
                asked++;
                Assert.Equal(TimeSpan.FromMinutes(1), length);
                take("shed/box", "{\"temperature\":7.5,\"<b>\":1}"u8.ToArray(), false);
                take("garden/climate", "{\"at\":1804489200,\"air\":8.9,\"humidity\":96}"u8.ToArray(), false);
                heard.SetResult();
                return over.Task;
            },
        });

        var before = await house.GetAsync("/sensors/message");
        Assert.Equal(0, asked);
        using var begun = await house.PostAsync("/sensors/listen");
        using var twice = await house.PostAsync("/sensors/listen");
        await heard.Task;
        using var meanwhile = await house.Browser.GetAsync(new Uri("/sensors/message", UriKind.Relative), Ct);
        over.SetResult([]);
        var page = await PageHouse.ParseAsync(meanwhile);

        Assert.Equal("Listen for a minute", Text(before.QuerySelector("form[action='/sensors/listen'] button")!));
        Assert.Equal((HttpStatusCode.SeeOther, 1), (begun.StatusCode, asked));
        Assert.Equal("5", meanwhile.Headers.GetValues("Refresh").Single());
        Assert.Contains("2 messages so far, on 2 topics", Text(page.QuerySelector("[role=status]")!), StringComparison.Ordinal);
        Assert.Empty(page.QuerySelectorAll("form[action='/sensors/listen']"));
        Assert.Contains("topic: shed/box", page.QuerySelector("main pre")!.TextContent, StringComparison.Ordinal);
        Assert.Contains(
            page.QuerySelectorAll("main li"),
            one => Text(one).StartsWith("garden/climate air, south-wall: 8.9 °C", StringComparison.Ordinal));
        Assert.Empty(page.QuerySelectorAll("main b"));
        await EventuallyAsync(house, "They are forgotten in a few minutes.");
        house.Time.Advance(TimeSpan.FromMinutes(10));
        Assert.Empty((await house.GetAsync("/sensors/message")).QuerySelectorAll("[role=status]"));
    }

    [Fact]
    public async Task A_flood_of_messages_ends_the_listening_and_a_broker_that_is_away_is_told()
    {
        await using var flooded = await PageHouse.OpenAsync(Wall with
        {
            Listen = async (take, _, end) =>
            {
                for (var i = 0; !end.IsCancellationRequested; i++)
                    take($"flood/{i}", new byte[10_000], false);
                await Task.Yield();
                return [];
            },
        });
        await using var away = await PageHouse.OpenAsync(Wall with
        {
            Listen = (_, _, _) => Task.FromException<IReadOnlyList<Sentence>>(new LinkException($"The broker is away.")),
        });

        using var one = await flooded.PostAsync("/sensors/listen");
        using var other = await away.PostAsync("/sensors/listen");

        await EventuallyAsync(flooded, "More came than is kept");
        await EventuallyAsync(away, "The broker is away.");
        Assert.InRange((await flooded.GetAsync("/sensors/message")).QuerySelectorAll("main li").Length, 1, 41);
    }

    private static async Task EventuallyAsync(PageHouse house, string text)
    {
        for (var i = 0; i < 500; i++)
        {
            if ((await house.GetAsync("/sensors/message")).QuerySelector("[role=status]") is { } status
                && Text(status).Contains(text, StringComparison.Ordinal))
                return;
            await Task.Delay(20, Ct);
        }

        Assert.Fail($"The page never said: {text}");
    }

    [Fact]
    public async Task The_set_up_shows_what_check_and_examine_say_the_worst_first_and_looks_once_a_minute()
    {
        var looks = 0;
        await using var house = await PageHouse.OpenAsync(Wall with
        {
            Examine = _ =>
            {
                looks++;
                return Task.FromResult(new SetUpLook(
                    Morning,
                    "/etc/garden.yaml",
                    GardenFileReader.ReadText("garden.yaml", PageGarden.Wall).Garden,
                    [],
                    [Sentence.InEnglish("south-wall/white-peach: no chill_need given; <i>62.5</i> chill portions are taken.")],
                    new LinesToAdd("/etc/words.liquid", "alert.<i>x</i> = X"),
                    [
                        new FoundThing($"disk", Finding.Fine, $"The disk of the store has 900 MB left.", null),
                        new FoundThing(
                            $"broker keeps",
                            Finding.Look,
                            $"The broker forgets its messages when it restarts.",
                            $"Add persistence true to its file."),
                        new FoundThing($"clock", Finding.Wrong, $"This computer's clock says 1970-01-01.", $"Set it."),
                    ]));
            },
        });

        var page = await house.GetAsync("/set-up");
        await house.GetAsync("/set-up");

        Assert.Equal(1, looks);
        Assert.Equal("2 things to look at, of 3.", Text(page.QuerySelector("h1")!));
        Assert.Equal(
            ["Wrong", "Worth a look", "The garden file, /etc/garden.yaml", "To add to /etc/words.liquid"],
            page.QuerySelectorAll("main h2").Select(Text));
        Assert.Contains("It is in use: 1 site, 3 series, 2 plantings.", Text(page.Body!), StringComparison.Ordinal);
        Assert.Contains("Broker 127.0.0.1, port 1883; database", Text(page.Body!), StringComparison.Ordinal);
        Assert.Equal("alert.<i>x</i> = X", Text(page.QuerySelector("main pre")!));
        Assert.Equal("Set it.", Text(page.QuerySelector("dd b")!));
        Assert.Contains("<i>62.5</i>", Text(page.QuerySelector("main ul")!), StringComparison.Ordinal);
        Assert.Empty(page.QuerySelectorAll("main form"));
        house.Time.Advance(TimeSpan.FromSeconds(61));
        await house.GetAsync("/set-up");
        Assert.Equal(2, looks);
    }

    [Fact]
    public async Task What_was_heard_stands_in_the_set_up_as_lines_to_paste()
    {
        await using var house = await PageHouse.OpenAsync(Wall with
        {
            Examine = _ => Task.FromResult(new SetUpLook(Morning, "garden.yaml", null, [], [], null, [])),
            Listen = (heard, length, end) =>
            {
                heard("shed/leaf", Encoding.UTF8.GetBytes("""{"leaf_wetness": 12}"""), false);
                return Task.FromResult<IReadOnlyList<Sentence>>([]);
            },
        });

        var before = await house.GetAsync("/set-up");
        Assert.Equal("/sensors/listen", before.QuerySelector("main form")!.GetAttribute("action"));
        Assert.Empty(before.QuerySelectorAll("main pre"));
        await house.PostAsync("/sensors/listen");
        await EventuallyAsync(house, "one message.");
        var page = await house.GetAsync("/set-up");

        Assert.Equal(["The garden file, garden.yaml", "Sensors that it does not read yet"], page.QuerySelectorAll("main h2").Select(Text));
        Assert.Contains("topic: shed/leaf", page.QuerySelector("main pre")!.TextContent, StringComparison.Ordinal);
    }

    [Fact]
    public async Task Without_a_garden_file_the_set_up_says_so()
    {
        await using var house = await PageHouse.OpenAsync(new PageGarden());

        Assert.Equal(
            "This garden has no file and no installation to look at.", Text((await house.GetAsync("/set-up")).QuerySelector("h1")!));
    }

    [Fact]
    public async Task Who_may_only_look_sees_the_sensors_and_shows_no_message()
    {
        await using var house = await PageHouse.OpenAsync(Wall with { IsOnTheLan = true });
        using var reader = house.BrowserWith(house.ReaderKey);
        using var form = new FormUrlEncodedContent([new("message", "7.5"), new("pass", house.Pass)]);

        Assert.Empty(
            PageHouse.Parse(await reader.GetStringAsync(new Uri("/sensors/message", UriKind.Relative), Ct)).QuerySelectorAll("main form"));
        Assert.Equal(HttpStatusCode.OK, (await reader.GetAsync(new Uri("/sensors", UriKind.Relative), Ct)).StatusCode);
        using var refused = await reader.PostAsync(new Uri("/sensors/message", UriKind.Relative), form, Ct);
        Assert.Equal(HttpStatusCode.Forbidden, refused.StatusCode);
    }

    private static string Text(IElement element) =>
        string.Join(' ', element.TextContent.Replace('\u00a0', ' ').Split((char[])[' ', '\n'], StringSplitOptions.RemoveEmptyEntries));
}
