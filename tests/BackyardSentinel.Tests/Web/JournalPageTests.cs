using System.Net;
using AngleSharp.Dom;
using AngleSharp.Html.Dom;

namespace BackyardSentinel.Web;

public sealed class JournalPageTests
{
    private static readonly DateTimeOffset Morning = new(2027, 2, 8, 10, 10, 0, TimeSpan.Zero);

    private static CancellationToken Ct => TestContext.Current.CancellationToken;

    private static PageGarden Wall => new() { Now = Morning, Past = [.. PageGarden.Weather(Morning.AddMinutes(-5), 4)] };

    // NIST Handbook 44: a US gallon is 3.785411784 L, an ounce 28.349523125 g.
    private static string UsWall => "units: us\n" + PageGarden.Wall
        .Replace("14 m²", "150 sq ft", StringComparison.Ordinal)
        .Replace("6 m²", "65 sq ft", StringComparison.Ordinal)
        .Replace("7 L", "2 gal", StringComparison.Ordinal)
        .Replace("3 L", "0.8 gal", StringComparison.Ordinal)
        .Replace("5 g/L", "0.5 oz/gal", StringComparison.Ordinal)
        .Replace(
            "[-3, -2, 1.5, 5, 9.5, 13, 15, 14.5, 10.5, 6.5, 2, -1.5]",
            "[27, 28, 35, 41, 49, 55, 59, 58, 51, 44, 36, 29]",
            StringComparison.Ordinal)
        .Replace(
            "[3.5, 6.5, 11.5, 16, 21, 24.5, 27, 26.5, 21.5, 15.5, 8.5, 4]",
            "[38, 44, 53, 61, 70, 76, 81, 80, 71, 60, 47, 39]",
            StringComparison.Ordinal);

    [Theory]
    [InlineData("/journal", "What do the buds look like?")]
    [InlineData("/journal/stage", "What do the buds look like?")]
    [InlineData("/journal/spray", "What did you spray?")]
    [InlineData("/journal/scout", "Did you find curl?")]
    [InlineData("/journal/pick", "Did you pick curled leaves?")]
    [InlineData("/journal/leaf-fall", "Have the leaves come down?")]
    [InlineData("/journal/shelter", "Is the rain shelter on?")]
    public async Task Each_form_asks_one_question_a_legend_with_today_preset_and_every_field_has_a_label(string path, string question)
    {
        await using var house = await PageHouse.OpenAsync(Wall);

        var page = await house.GetAsync(path);

        Assert.Equal(question, page.QuerySelector("h1")!.TextContent);
        Assert.All(page.QuerySelectorAll("main fieldset"), set => Assert.Single(set.QuerySelectorAll("legend")));
        Assert.True(page.QuerySelector<IHtmlInputElement>("#day-today")!.IsChecked);
        foreach (var field in page.QuerySelectorAll<IHtmlInputElement>("main input").Where(one => one.Type != "hidden"))
            Assert.Single(page.QuerySelectorAll($"label[for={field.Id}]"));
        Assert.Equal(page.QuerySelectorAll("[id]").Length, page.QuerySelectorAll("[id]").Select(one => one.Id).Distinct().Count());
        Assert.Empty(page.QuerySelectorAll("[style],[onclick],main script,select"));
    }

    [Fact]
    public async Task What_was_seen_is_never_preset_and_the_tree_only_where_there_is_one()
    {
        // Buds that were looked at today are not due again.
        await using var two = await PageHouse.OpenAsync(Wall with
        {
            Journal =
            [
                new StageEntry(0, "south-wall", "white-peach", new DateOnly(2027, 2, 8), 0),
                new StageEntry(0, "south-wall", "gate-nectarine", new DateOnly(2027, 2, 8), 0),
            ],
        });
        await using var one = await PageHouse.OpenAsync(Wall with { File = PageGarden.Wall.Replace(Gate, "", StringComparison.Ordinal) });

        Assert.Equal(["today"], Chosen(await two.GetAsync("/journal/stage")));
        Assert.Equal(["white-peach", "today"], Chosen(await one.GetAsync("/journal/stage")));
        Assert.Equal(["today"], Chosen(await two.GetAsync("/journal/scout")));
        Assert.Equal("", (await two.GetAsync("/journal/scout")).QuerySelector<IHtmlInputElement>("#curled")!.Value);
    }

    [Fact]
    public async Task A_look_presets_the_tree_on_which_curl_is_due_to_show_and_nothing_of_what_is_found()
    {
        await using var house = await PageHouse.OpenAsync(PageStates.All["rules"]);

        var page = await house.GetAsync("/journal/scout");

        Assert.Equal(["white-peach", "today"], Chosen(page));
        Assert.Equal("20", page.QuerySelector<IHtmlInputElement>("#shoots")!.Value);
        Assert.Equal("", page.QuerySelector<IHtmlInputElement>("#curled")!.Value);
    }

    [Fact]
    public async Task A_stage_is_written_with_two_touches_and_what_follows_is_told_with_the_way_back()
    {
        await using var house = await PageHouse.OpenAsync(Wall);

        var page = await WrittenAsync(house, "/journal/stage", ("tree", "gate-nectarine"), ("stage", "shut"), ("day", "today"));

        Assert.Equal(new StageEntry(1, "south-wall", "gate-nectarine", new DateOnly(2027, 2, 8), 0), Assert.Single(house.Journal).Entry);
        Assert.Contains("Written at 11:10, for Mon 8 February", page.QuerySelector("[role=status]")!.TextContent, StringComparison.Ordinal);
        Assert.Equal("The gate: dormant, all buds shut, seen", page.QuerySelector("h1")!.TextContent);
        Assert.Contains(
            "It cannot be infected yet: the leaf buds are shut.", page.QuerySelector("main")!.TextContent, StringComparison.Ordinal);
        Assert.Contains("8 February", page.QuerySelector("tbody th")!.TextContent, StringComparison.Ordinal);

        using var undone = await house.PostAsync("/journal/take-back", ("number", "1"));
        Assert.Equal(HttpStatusCode.SeeOther, undone.StatusCode);
        var after = await house.GetAsync(undone.Headers.Location!.OriginalString);

        Assert.Equal(1, house.Journal[1].Withdraws);
        Assert.Contains("all buds shut", after.QuerySelector("td s")!.TextContent, StringComparison.Ordinal);
        Assert.Contains("taken back 8 February", after.QuerySelector("tbody")!.TextContent, StringComparison.Ordinal);
        using var again = await house.PostAsync("/journal/put-back", ("number", "1"));
        Assert.Equal("/journal?written=3", again.Headers.Location!.OriginalString);
    }

    [Fact]
    public async Task A_button_pressed_twice_writes_once()
    {
        await using var house = await PageHouse.OpenAsync(Wall);
        (string, string)[] form = [("tree", "white-peach"), ("stage", "swell"), ("day", "today"), ("note", "the lower branches")];

        using var first = await house.PostAsync("/journal/stage", form);
        using var second = await house.PostAsync("/journal/stage", form);

        Assert.Single(house.Journal);
        Assert.Equal(first.Headers.Location, second.Headers.Location);
        Assert.Equal("the lower branches", house.Journal[0].Entry!.Note);
    }

    [Fact]
    public async Task A_spray_remembers_its_amounts_and_says_the_cautions_before_the_copper()
    {
        await using var house = await PageHouse.OpenAsync(Wall with
        {
            Journal = [new SprayEntry(0, "south-wall", "white-peach", new DateOnly(2026, 11, 22), "winter-copper", 6.5, 4)],
        });
        var form = await house.GetAsync("/journal/spray");

        Assert.Contains(
            "Filled in from the last time, Sun 22 November.", form.QuerySelector("main")!.TextContent, StringComparison.Ordinal);
        Assert.Equal("6.5", Value(form, "volume-white-peach"));
        Assert.Equal("3", Value(form, "volume-gate-nectarine"));
        Assert.Equal("4", Value(form, "rate-winter-copper"));
        Assert.True(form.QuerySelector<IHtmlInputElement>("#product-winter-copper")!.IsChecked);

        var page = await WrittenAsync(
            house,
            "/journal/spray",
            ("tree", "white-peach"),
            ("volume-white-peach", "7,5"),
            ("product", "winter-copper"),
            ("rate-winter-copper", "5"),
            ("at", "11:00"),
            ("day", "today"));

        Assert.Equal(
            new SprayEntry(2, "south-wall", "white-peach", new DateOnly(2027, 2, 8), "winter-copper", 7.5, null, new TimeOnly(11, 0)),
            house.Journal[^1].Entry);
        var told = page.QuerySelector("main")!.TextContent;
        Assert.Contains("Keep people and pets away until Wed 10 February, 11:00 (label: 48 h)", told, StringComparison.Ordinal);
        // 7.5 L of 5 g/L at 50 % copper are 18.75 g; 6.5 L of 4 g/L are 13 g.
        Assert.Contains("Copper on white-peach: 18.8 g now, 31.8 g this season", told.Replace('\u00a0', ' '), StringComparison.Ordinal);
        Assert.Contains("Look again after 25 mm of rain", told.Replace('\u00a0', ' '), StringComparison.Ordinal);
        Assert.Contains("With this all uses of The blue tub on white-peach are done", told, StringComparison.Ordinal);
        Assert.True(told.IndexOf("Keep people", StringComparison.Ordinal) < told.IndexOf("Copper on", StringComparison.Ordinal));
    }

    [Fact]
    public async Task In_US_units_amounts_come_and_go_in_gallons_and_ounces()
    {
        await using var house = await PageHouse.OpenAsync(Wall with { File = UsWall });
        var form = await house.GetAsync("/journal/spray");

        Assert.Contains("How much spray on white-peach, in gallons?", form.QuerySelector("main")!.TextContent, StringComparison.Ordinal);
        Assert.Equal("2", Value(form, "volume-white-peach"));
        Assert.Contains("How strong, in oz/gal?", form.QuerySelector("main")!.TextContent, StringComparison.Ordinal);
        Assert.Equal("0.5", Value(form, "rate-winter-copper"));
        using var written = await house.PostAsync(
            "/journal/spray",
            ("tree", "white-peach"),
            ("volume-white-peach", "1 1/2"),
            ("product", "winter-copper"),
            ("rate-winter-copper", "1"),
            ("day", "other"),
            ("date", "2/3"));

        var spray = Assert.IsType<SprayEntry>(Assert.Single(house.Journal).Entry);
        Assert.Equal(new DateOnly(2027, 2, 3), spray.On);
        Assert.Equal(1.5 * 3.785411784, spray.VolumeL, 9);
        Assert.Equal(28.349523125 / 3.785411784, spray.DosePerL!.Value, 9);
    }

    [Theory]
    [InlineData("metric", "", "Write how much you sprayed, such as 7 L.")]
    [InlineData("metric", "much", "\"much\" is no amount of spray; write it like \"5 L\" or \"1 1/2 gal\".")]
    [InlineData("metric", "-3", "\"-3\" is no amount of spray")]
    [InlineData("metric", "9999999", "9999999 cannot be; taken are 0.001 L to 100000 L.")]
    [InlineData("metric", "1,000", "\"1,000\" is no amount of spray")]
    [InlineData("us", "", "Write how much you sprayed, such as 2 gal.")]
    [InlineData("us", "5 miles", "\"5 miles\" is no amount of spray")]
    public async Task A_wrong_amount_is_told_at_its_field_and_above_and_nothing_is_lost(string units, string volume, string sentence)
    {
        await using var house = await PageHouse.OpenAsync(Wall with { File = units == "us" ? UsWall : PageGarden.Wall });

        using var answer = await house.PostAsync(
            "/journal/spray",
            ("tree", "white-peach"),
            ("volume-white-peach", volume),
            ("product", "winter-copper"),
            ("rate-winter-copper", "4.5"),
            ("at", "9:05"),
            ("day", "other"),
            ("date", "2027-02-05"),
            ("note", "windy"));
        var page = await PageHouse.ParseAsync(answer);

        Assert.Equal(HttpStatusCode.UnprocessableEntity, answer.StatusCode);
        Assert.Empty(house.Journal);
        var link = Assert.Single(page.QuerySelectorAll(".errs a"));
        Assert.StartsWith(sentence, link.TextContent.Replace('\u00a0', ' '), StringComparison.Ordinal);
        Assert.Equal("#volume-white-peach", link.GetAttribute("href"));
        var field = page.QuerySelector<IHtmlInputElement>("#volume-white-peach")!;
        Assert.Equal("true", field.GetAttribute("aria-invalid"));
        Assert.Equal(link.TextContent, page.GetElementById(field.GetAttribute("aria-describedby")!)!.TextContent);
        Assert.Equal(volume, field.Value);
        Assert.Equal(["white-peach", "winter-copper", "other"], Chosen(page));
        Assert.Equal(
            ("4.5", "9:05", "2027-02-05", "windy"),
            (Value(page, "rate-winter-copper"), Value(page, "at"), Value(page, "date"), Value(page, "note")));
    }

    [Fact]
    public async Task All_that_is_wrong_is_told_at_once()
    {
        await using var house = await PageHouse.OpenAsync(Wall);

        using var answer = await house.PostAsync("/journal/spray", ("day", "other"), ("date", "soon"), ("at", "noonish"));
        var page = await PageHouse.ParseAsync(answer);

        Assert.Equal(
            [
                "Choose the trees that you mean.",
                "Write how much you sprayed, such as 7 L.",
                "Choose what you sprayed.",
                "\"noonish\" is no time of day; write it like 14:30 or 2:30pm.",
                "“soon” is no day; write it like 2/2/2027.",
            ],
            page.QuerySelectorAll(".errs a").Select(link => link.TextContent.Replace('\u00a0', ' ')));
        Assert.All(page.QuerySelectorAll(".errs a"), link => Assert.NotNull(page.GetElementById(link.GetAttribute("href")![1..])));
    }

    [Theory]
    [InlineData("/journal/stage", "9 February 2027 is after today, 8 February 2027", "date",
        "tree=white-peach&stage=swell&day=other&date=9/2/2027")]
    [InlineData("/journal/stage", "would run backwards: entry 1 has 01 on 1 February 2027. If that one is wrong, "
        + "take it back below", "stage-shut", "tree=white-peach&stage=shut&day=today")]
    [InlineData("/journal/stage", "Choose what the buds look like.", "stage-shut", "tree=white-peach&day=today")]
    [InlineData("/journal/stage", "Choose what the buds look like.", "stage-shut", "tree=white-peach&stage=golden&day=today")]
    [InlineData(
        "/journal/scout", "21 curled shoots cannot be among 20", "curled", "tree=white-peach&worst=puckered&shoots=20&curled=21&day=today")]
    [InlineData(
        "/journal/scout",
        "A symptom was named but no shoot is curled",
        "curled",
        "tree=white-peach&worst=puckered&shoots=20&curled=0&day=today")]
    [InlineData(
        "/journal/scout",
        "You found no curl and counted 3 shoots with it",
        "worst-none",
        "tree=white-peach&worst=none&shoots=20&curled=3&day=today")]
    [InlineData(
        "/journal/scout", "Write how many of them have curl, such as 3.", "curled", "tree=white-peach&worst=curled&shoots=20&day=today")]
    [InlineData("/journal/leaf-fall", "Choose how much of the leaves is down.", "fallen-25", "tree=white-peach&fallen=33&day=today")]
    [InlineData("/journal/shelter", "The shelter on gate-nectarine is on already since 1 December 2026, "
        + "by entry 2.", "state-on", "tree=gate-nectarine&state=on&day=today")]
    [InlineData("/journal/pick", "Choose the trees that you mean.", "tree-white-peach", "tree=somebody-elses&day=today")]
    public async Task What_the_command_refuses_the_form_refuses_in_the_same_words(string path, string sentence, string field, string form)
    {
        await using var house = await PageHouse.OpenAsync(Wall with
        {
            Journal =
            [
                new StageEntry(0, "south-wall", "white-peach", new DateOnly(2027, 2, 1), 1),
                new ShelterEntry(0, "south-wall", "gate-nectarine", new DateOnly(2026, 12, 1), true),
            ],
        });

        using var answer = await house.PostAsync(path, [.. form.Split('&').Select(pair => (pair.Split('=')[0], pair.Split('=')[1]))]);
        var page = await PageHouse.ParseAsync(answer);

        Assert.Equal(2, house.Journal.Count);
        var link = Assert.Single(page.QuerySelectorAll(".errs a"));
        Assert.Contains(sentence, link.TextContent.Replace('\u00a0', ' '), StringComparison.Ordinal);
        Assert.Equal("#" + field, link.GetAttribute("href"));
        Assert.NotNull(page.GetElementById(field));
    }

    [Fact]
    public async Task A_finding_is_answered_with_what_it_asks_for_and_none_found_needs_no_count()
    {
        await using var house = await PageHouse.OpenAsync(Wall);

        var some = await WrittenAsync(
            house, "/journal/scout", ("tree", "white-peach"), ("worst", "puckered"), ("shoots", "20"), ("curled", "3"), ("day", "today"));
        var none = await WrittenAsync(
            house, "/journal/scout", ("tree", "gate-nectarine"), ("worst", "none"), ("shoots", "20"), ("curled", ""), ("day", "yesterday"));

        Assert.Contains("3 of 20 shoots: light.", some.QuerySelector("main")!.TextContent, StringComparison.Ordinal);
        Assert.Contains("it never replaces the dormant spray", some.QuerySelector("main")!.TextContent, StringComparison.Ordinal);
        Assert.Equal("The gate: no curl on 20 shoots", none.QuerySelector("h1")!.TextContent);
        Assert.Equal(new ScoutEntry(2, "south-wall", "gate-nectarine", new DateOnly(2027, 2, 7), 20, 0), house.Journal[^1].Entry);
    }

    [Fact]
    public async Task Today_is_the_sites_day_and_both_trees_are_written_at_once()
    {
        // Half past eleven in the evening of 8 February in UTC is half past midnight on the 9th there.
        await using var house = await PageHouse.OpenAsync(
            new PageGarden { Now = new DateTimeOffset(2027, 2, 8, 23, 30, 0, TimeSpan.Zero) });

        using var answer = await house.PostAsync(
            "/journal/leaf-fall", ("tree", "white-peach"), ("tree", "gate-nectarine"), ("fallen", "90"), ("day", "today"));

        Assert.Equal("/journal?written=1.2", answer.Headers.Location!.OriginalString);
        Assert.Equal(
            [
                new LeafFallEntry(1, "south-wall", "white-peach", new DateOnly(2027, 2, 9), 90),
                new LeafFallEntry(2, "south-wall", "gate-nectarine", new DateOnly(2027, 2, 9), 90),
            ],
            house.Journal.Select(row => row.Entry));
    }

    [Fact]
    public async Task Names_and_notes_of_a_hostile_garden_stay_text()
    {
        const string Hostile = "</script><script>alert(1)</script>\"'><img src=x onerror=alert(2)>";
        await using var house = await PageHouse.OpenAsync(Wall with
        {
            File = PageGarden.Wall.Replace("name: the gate", "name: '<b onclick=\"x\">\"gate\"</b>'", StringComparison.Ordinal),
            Journal = [new PickEntry(0, "south-wall", "gate-nectarine", new DateOnly(2027, 2, 1)) { Note = Hostile }],
        });

        var list = await house.GetAsync("/journal/stage");
        using var answer = await house.PostAsync(
            "/journal/spray",
            ("volume-white-peach", Hostile),
            ("tree", "white-peach"),
            ("product", "winter-copper"),
            ("at", Hostile),
            ("note", Hostile),
            ("day", "other"),
            ("date", Hostile));
        var echoed = await PageHouse.ParseAsync(answer);

        foreach (var page in new[] { list, echoed })
        {
            Assert.Empty(page.QuerySelectorAll("main script, main img, main b[onclick], [onerror]"));
            Assert.Contains("<b onclick=\"x\">\"gate\"</b>", page.QuerySelector("main")!.TextContent, StringComparison.Ordinal);
        }

        Assert.Contains(Hostile, list.QuerySelector("tbody")!.TextContent, StringComparison.Ordinal);
        Assert.Equal(Hostile, Value(echoed, "at"));
        Assert.Equal(Hostile, Value(echoed, "volume-white-peach"));
    }

    [Fact]
    public async Task An_entry_of_every_kind_has_its_words()
    {
        await using var house = await PageHouse.OpenAsync(Wall with
        {
            File = PageGarden.Wall.Replace("south-wall", "yard", StringComparison.Ordinal).Replace(
                "white-peach", "peach", StringComparison.Ordinal),
            Journal = [.. Tests.Storage.JournalBookTests.EveryKind.Select(row => row.Data)],
        });

        var page = await house.GetAsync("/journal?all=1");

        Assert.Equal(Tests.Storage.JournalBookTests.EveryKind.Count, page.QuerySelectorAll("tbody tr").Length);
        Assert.All(page.QuerySelectorAll("tbody td:nth-child(2)"), what => Assert.Matches("^peach: [a-z0-9]", what.TextContent));
    }

    [Fact]
    public async Task A_site_keeps_its_own_journal_and_the_form_stays_with_it()
    {
        var second = PageGarden.Wall[PageGarden.Wall.IndexOf("  - id: south-wall", StringComparison.Ordinal)..PageGarden.Wall.IndexOf(
            "products:", StringComparison.Ordinal)]
            .Replace("south-wall", "north-slope", StringComparison.Ordinal)
            .Replace("garden/", "slope/", StringComparison.Ordinal);
        await using var house = await PageHouse.OpenAsync(Wall with
        {
            File = PageGarden.Wall.Replace("products:", second + "products:", StringComparison.Ordinal),
        });
        var form = await house.GetAsync("/journal/pick?site=north-slope");

        using var answer = await house.PostAsync(
            form.QuerySelector("main form")!.GetAttribute("action")!, ("tree", "white-peach"), ("day", "today"));

        Assert.Equal("north-slope", Assert.Single(house.Journal).Entry!.Site);
        Assert.Equal("/journal?written=1&site=north-slope", answer.Headers.Location!.OriginalString);
        Assert.Single((await house.GetAsync("/journal?site=north-slope")).QuerySelectorAll("tbody tr"));
        Assert.Empty((await house.GetAsync("/journal")).QuerySelectorAll("tbody tr"));
        using var foreign = await house.PostAsync("/journal/take-back", ("number", "1"));
        Assert.Single(house.Journal);
    }

    [Fact]
    public async Task Who_may_only_look_gets_no_form_and_writes_nothing_and_neither_does_a_foreign_page()
    {
        await using var house = await PageHouse.OpenAsync(Wall with { IsOnTheLan = true });
        using var reader = house.BrowserWith(house.ReaderKey);
        using var form = new FormUrlEncodedContent([new("tree", "white-peach"), new("day", "today"), new("pass", house.Pass)]);
        using var copy = new FormUrlEncodedContent([new("tree", "white-peach"), new("day", "today"), new("pass", house.Pass)]);

        var page = PageHouse.Parse(await reader.GetStringAsync(new Uri("/journal/pick", UriKind.Relative), Ct));
        using var refused = await reader.PostAsync(new Uri("/journal/pick", UriKind.Relative), form, Ct);
        house.Browser.DefaultRequestHeaders.Add("Origin", "https://elsewhere.example");
        using var foreign = await house.Browser.PostAsync(new Uri("/journal/pick", UriKind.Relative), copy, Ct);

        Assert.Empty(page.QuerySelectorAll("main form"));
        Assert.Equal((HttpStatusCode.Forbidden, HttpStatusCode.Forbidden), (refused.StatusCode, foreign.StatusCode));
        Assert.Empty(house.Journal);
    }

    private const string Gate = """
              - id: gate-nectarine
                name: the gate
                kind: nectarine
                canopy_area: 6 m²
                spray_volume: 3 L

        """;

    private static async Task<IHtmlDocument> WrittenAsync(PageHouse house, string path, params (string, string)[] form)
    {
        using var answer = await house.PostAsync(path, form);
        Assert.True(answer.StatusCode == HttpStatusCode.SeeOther, await answer.Content.ReadAsStringAsync(Ct));
        return await house.GetAsync(answer.Headers.Location!.OriginalString);
    }

    private static string Value(IHtmlDocument page, string id) => page.QuerySelector<IHtmlInputElement>("#" + id)!.Value;

    private static IEnumerable<string> Chosen(IHtmlDocument page) =>
        page.QuerySelectorAll<IHtmlInputElement>("main input").Where(one => one is { IsChecked: true }).Select(one => one.Value);
}
