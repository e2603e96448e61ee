using System.Net;
using AngleSharp.Dom;
using BackyardSentinel.Contract;
using BackyardSentinel.Web.SetUp;

namespace BackyardSentinel.Web;

public sealed class SensorsPageTests
{
    private static readonly DateTimeOffset Morning = new(2027, 3, 4, 5, 40, 0, TimeSpan.Zero);

    private static CancellationToken Ct => TestContext.Current.CancellationToken;

    private static PageGarden Wall =>
        new() { Now = Morning, Past = [.. PageGarden.Weather(Morning.AddMinutes(-3), 30, airC: 8.9, humidityPct: 96, rainMm: 0.2)] };

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
        Assert.Contains("01:40", Text(page.QuerySelector("h2 + table")!), StringComparison.Ordinal);
        Assert.Contains("still silent", Text(page.QuerySelector("h2 + table")!), StringComparison.Ordinal);
        Assert.Contains(page.QuerySelectorAll("svg rect"), rect => rect.ClassName == "gap");
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
            "garden/climate air: read already, by south-wall: 7.5 °C", Text(read.QuerySelector("main")!), StringComparison.Ordinal);
        Assert.Contains("140", Text(read.QuerySelector("main")!), StringComparison.Ordinal);
        Assert.Contains(
            "- quantity: temperature\n  topic: shed/box\n  path: temperature",
            proposed.QuerySelector("pre")!.TextContent,
            StringComparison.Ordinal);
        Assert.Equal("#topic", refused.QuerySelector(".errs a")!.GetAttribute("href"));
        Assert.Empty(proposed.QuerySelectorAll("main b"));
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
                    [],
                    ["south-wall/white-peach: no chill_need given; <i>62.5</i> chill portions are taken."],
                    [
                        new ExaminedThing("disk", Finding.Fine, "The disk of the store has 900 MB left.", null),
                        new ExaminedThing(
                            "broker keeps",
                            Finding.Look,
                            "The broker forgets its messages when it restarts.",
                            "Add persistence true to its file."),
                        new ExaminedThing("clock", Finding.Wrong, "This computer's clock says 1970-01-01.", "Set it."),
                    ]));
            },
        });

        var page = await house.GetAsync("/set-up");
        await house.GetAsync("/set-up");

        Assert.Equal(1, looks);
        Assert.Equal("2 things to look at, of 3.", Text(page.QuerySelector("h1")!));
        Assert.Equal(["Wrong", "Worth a look", "The garden file, /etc/garden.yaml"], page.QuerySelectorAll("main h2").Select(Text));
        Assert.Equal("Set it.", Text(page.QuerySelector("dd b")!));
        Assert.Contains("<i>62.5</i>", Text(page.QuerySelector("main ul")!), StringComparison.Ordinal);
        Assert.Empty(page.QuerySelectorAll("main form"));
        house.Time.Advance(TimeSpan.FromSeconds(61));
        await house.GetAsync("/set-up");
        Assert.Equal(2, looks);
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
