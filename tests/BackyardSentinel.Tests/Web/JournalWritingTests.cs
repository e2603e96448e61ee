using System.Net;
using AngleSharp.Dom;
using AngleSharp.Html.Dom;
using Microsoft.Data.Sqlite;

namespace BackyardSentinel.Web;

// What is written by the forms, and what the page says of it.
public sealed class JournalWritingTests : JournalPageBench
{
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
    public async Task What_is_contradicted_meanwhile_is_not_written_again_and_the_page_says_why()
    {
        await using var house = await PageHouse.OpenAsync(Wall);
        (string, string)[] Spray(string litres) =>
        [
            ("tree", "white-peach"), ("volume-white-peach", litres), ("product", "winter-copper"), ("rate-winter-copper", "5"),
            ("day", "today"),
        ];
        using var first = await house.PostAsync("/journal/spray", Spray("6"));
        using var taken = await house.PostAsync("/journal/take-back", ("number", "1"));
        using var second = await house.PostAsync("/journal/spray", Spray("7"));

        using var again = await house.PostAsync("/journal/put-back", ("number", "1"));
        var page = await PageHouse.ParseAsync(again);

        Assert.Equal(System.Net.HttpStatusCode.UnprocessableEntity, again.StatusCode);
        Assert.Contains("Nothing was written.", page.Body!.TextContent, StringComparison.Ordinal);
        Assert.Contains("is already written down for 8 February 2027", page.Body!.TextContent, StringComparison.Ordinal);
        Assert.Equal(3, house.Journal.Count);
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

    // Today is 8 February 2027.
    [Theory]
    [InlineData("today", "2027-02-07", 7)]
    [InlineData("yesterday", "2027-02-07", 6)]
    [InlineData("today", "2027-02-08", 8)]
    [InlineData("today", "2027-02-09", 8)] // No form is from tomorrow.
    [InlineData("today", "nonsense", 8)]
    [InlineData("yesterday", "", 7)]
    public async Task A_form_that_was_opened_before_midnight_means_the_day_that_it_showed(string day, string asOf, int february)
    {
        await using var house = await PageHouse.OpenAsync(Wall);
        Assert.Equal("2027-02-08", (await house.GetAsync("/journal/pick")).QuerySelector("input[name=as-of]")!.GetAttribute("value"));

        using var answer = await house.PostAsync("/journal/pick", ("tree", "white-peach"), ("day", day), ("as-of", asOf));

        Assert.Equal(new DateOnly(2027, 2, february), Assert.Single(house.Journal).Entry!.On);
    }

    [Fact]
    public async Task A_remembered_amount_that_is_sent_twice_is_written_once()
    {
        await using var house = await PageHouse.OpenAsync(Wall with
        {
            Journal = [new SprayEntry(0, "south-wall", "white-peach", new DateOnly(2026, 11, 22), "winter-copper", 20 / 3.0, 1 / 3.0)],
        });
        (string, string)[] form =
        [
            ("tree", "white-peach"), ("volume-white-peach", "6.667"), ("product", "winter-copper"), ("rate-winter-copper", "0.333"),
            ("day", "today"),
        ];
        using var first = await house.PostAsync("/journal/spray", form);
        using var second = await house.PostAsync("/journal/spray", form);

        Assert.Equal(first.Headers.Location, second.Headers.Location);
        Assert.Equal(20 / 3.0, Assert.IsType<SprayEntry>(house.Journal[^1].Entry).VolumeL);
        Assert.Equal(2, house.Journal.Count);
    }

    [Fact]
    public async Task A_shelter_that_is_taken_off_again_on_the_same_day_is_off()
    {
        await using var house = await PageHouse.OpenAsync(Wall);
        foreach (var how in new[] { "off", "on", "off", "off" })
        {
            using var answer = await house.PostAsync("/journal/shelter", ("tree", "white-peach"), ("state", how), ("day", "today"));
            Assert.Equal(System.Net.HttpStatusCode.SeeOther, answer.StatusCode);
        }

        Assert.Equal([false, true, false], house.Journal.Select(row => Assert.IsType<ShelterEntry>(row.Entry).IsOn));
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
        Assert.Contains(
            "Copper on white-peach: 18.8 g by this spray, 31.8 g so far in its season",
            told.Replace('\u00a0', ' '),
            StringComparison.Ordinal);
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
    public async Task Where_the_second_tree_cannot_be_written_none_is_and_sent_again_each_is_there_once()
    {
        await using var house = await PageHouse.OpenAsync(Wall);
        (string, string)[] form = [("tree", "white-peach"), ("tree", "gate-nectarine"), ("fallen", "90"), ("day", "today")];

        Refuse(house, "new.planting = 'gate-nectarine'");
        using var refused = await house.PostAsync("/journal/leaf-fall", form);
        var told = await PageHouse.ParseAsync(refused);

        Assert.Equal(HttpStatusCode.UnprocessableEntity, refused.StatusCode);
        Assert.Contains("and nothing was", told.QuerySelector(".errs")!.TextContent, StringComparison.Ordinal);
        Assert.Empty(house.Journal);
        TakeAgain(house);
        await WrittenAsync(house, "/journal/leaf-fall", form);
        Assert.Equal(["white-peach", "gate-nectarine"], house.Journal.Select(row => row.Entry!.Planting));
    }

    [Fact]
    public async Task Several_entries_are_taken_back_and_put_back_all_or_none()
    {
        await using var house = await PageHouse.OpenAsync(Wall);
        await WrittenAsync(house, "/journal/pick", ("tree", "white-peach"), ("tree", "gate-nectarine"), ("day", "today"));
        (string, string)[] both = [("number", "1"), ("number", "2")];

        Refuse(house, "new.withdraws = 2");
        using var kept = await house.PostAsync("/journal/take-back", both);
        Assert.Equal(HttpStatusCode.ServiceUnavailable, kept.StatusCode);
        Assert.Contains("could not be written (", (await PageHouse.ParseAsync(kept)).Body!.TextContent, StringComparison.Ordinal);
        Assert.Equal(2, house.Journal.Count);

        TakeAgain(house);
        await WrittenAsync(house, "/journal/take-back", both);
        Assert.Equal(4, house.Journal.Count);

        Refuse(house, "new.planting = 'gate-nectarine'");
        using var gone = await house.PostAsync("/journal/put-back", both);
        Assert.Equal(HttpStatusCode.ServiceUnavailable, gone.StatusCode);
        Assert.Equal(4, house.Journal.Count);

        TakeAgain(house);
        await WrittenAsync(house, "/journal/put-back", both);
        Assert.Equal(6, house.Journal.Count);
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

    // As a disk would on which there was room for the first line only.
    private static void Refuse(PageHouse house, string when) =>
        Run(house, $"create trigger full before insert on journal when {when} begin select raise(abort, 'full'); end");

    private static void TakeAgain(PageHouse house) => Run(house, "drop trigger full");

    private static void Run(PageHouse house, string sql)
    {
        using var other = new SqliteConnection($"Data Source={house.File.Store.Path};Pooling=False");
        other.Open();
        using var command = other.CreateCommand();
        command.CommandText = sql;
        command.ExecuteNonQuery();
    }
}
