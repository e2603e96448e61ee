using System.Net;
using AngleSharp.Dom;
using AngleSharp.Html.Dom;

namespace BackyardSentinel.Web;

// What the forms ask and refuse.
public sealed class JournalPageTests : JournalPageBench
{
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
        Assert.All(page.QuerySelectorAll("tbody td:nth-child(2)"), what => Assert.Matches("^peach: [a-z0-9]", what.TextContent.Trim()));
    }

    [Theory]
    [InlineData("pass=%00&day=today")]
    [InlineData("pass=x&note=%00")]
    [InlineData("many")]
    [InlineData("--x\r\nContent-Disposition: form-data; name=pass\r\n\r\nhalf", "multipart/form-data; boundary=x")]
    [InlineData("--x\r\nno header\r\n\r\n--x--", "multipart/form-data; boundary=x")]
    [InlineData("--x--", "multipart/form-data")]
    public async Task A_form_that_no_page_sends_is_refused_and_is_no_fault_of_the_program(
        string body, string type = "application/x-www-form-urlencoded")
    {
        await using var house = await PageHouse.OpenAsync(Wall);
        if (body == "many")
            body = string.Join('&', Enumerable.Range(0, 2000).Select(n => $"f{n}=1"));
        using var form = new ByteArrayContent(System.Text.Encoding.ASCII.GetBytes(body));
        form.Headers.ContentType = System.Net.Http.Headers.MediaTypeHeaderValue.Parse(type);

        using var answer = await house.Browser.PostAsync(new Uri("/journal/pick", UriKind.Relative), form, Ct);

        Assert.Equal(HttpStatusCode.BadRequest, answer.StatusCode);
        Assert.DoesNotContain("could not be made", house.Said, StringComparison.Ordinal);
        Assert.Empty(house.Journal);
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
}
