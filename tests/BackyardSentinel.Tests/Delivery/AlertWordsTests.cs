using BackyardSentinel.Alerting;
using BackyardSentinel.Delivery;
using BackyardSentinel.Infection;
using NodaTime;

namespace BackyardSentinel.Tests.Delivery;

public class AlertWordsTests
{
    private static readonly AlertWords Words = AlertWords.English();
    private static readonly string EnglishText = File.ReadAllText(Checkout.Path("src", "BackyardSentinel", "Delivery", "words.en.liquid"));
    private static readonly TimeZoneInfo Zone = TimeZoneInfo.FindSystemTimeZoneById("Europe/Ljubljana");

    /// <summary>An id as long as the garden file allows.</summary>
    private static readonly string Longest = new('w', 40);

    /// <summary>What tells a grower to spray, or that one might.</summary>
    public static TheoryData<string> SprayKinds =>
    [
        "window-ahead",
        "spray-deadline-near",
        "leaf-fall-spray-due",
        "spray-last-chance",
        "spray-slot-found",
        "cover-to-recheck",
        "cover-spent",
    ];

    public static TheoryData<string> Kinds => [.. ExampleAlerts.OfEveryKind().Select(alert => alert.Kind)];

    [Fact]
    public void Every_kind_of_occasion_has_an_example_and_so_has_words()
    {
        var kinds = typeof(Occasion)
            .Assembly.GetTypes()
            .Where(type => type.IsSubclassOf(typeof(Occasion)) && !type.IsAbstract)
            .Select(type => type.Name);

        Assert.Equal(
            kinds.Order(StringComparer.Ordinal),
            ExampleAlerts
                .OfEveryKind()
                .Where(alert => alert.Kind != Alert.SummaryKind)
                .Select(alert => alert.Occasions[0].GetType().Name)
                .Order(StringComparer.Ordinal));
    }

    [Theory]
    [MemberData(nameof(Kinds))]
    public void A_title_is_short_and_a_body_is_one_screen_of_four_lines_even_with_the_longest_names(string kind)
    {
        var text = Words.Say(ExampleAlerts.OfEveryKind(Longest, Longest, Longest, Longest).Single(alert => alert.Kind == kind), _ => Zone);

        KeepsItsLimits(text, kind);
    }

    /// <summary>A title for one line and a body of four, none of them cut at its end.</summary>
    internal static void KeepsItsLimits(AlertText text, string kind)
    {
        Assert.InRange(text.Title.Length, 5, 50);
        Assert.InRange(text.Body.Length, 40, 500);
        if (kind != Alert.SummaryKind)
        {
            Assert.Equal(4, text.Body.Split('\n').Length);
            Assert.DoesNotContain("…", text.Body.Split('\n')[3], StringComparison.Ordinal);
        }
    }

    [Theory]
    [MemberData(nameof(Kinds))]
    public void Names_of_usual_length_are_not_cut_and_the_title_says_where(string kind)
    {
        var alert = ExampleAlerts.OfEveryKind().Single(example => example.Kind == kind);

        var text = Words.Say(alert, _ => Zone);

        if (kind != Alert.SummaryKind)
            Assert.DoesNotContain("…", text.Body, StringComparison.Ordinal);
        Assert.Contains(
            alert.Site is null ? "garden"
                : alert.Plantings is [var first, ..] ? first
                : alert.Site,
            text.Title,
            StringComparison.Ordinal);
    }

    [Fact]
    public void The_titles_read_so() => Assert.Equal(
        """
        Curl weather likely: white-peach, south-wall
        Curl weather ahead: white-peach, south-wall
        Spray due in 7 d: white-peach, south-wall
        Leaf-fall spray due: white-peach, south-wall
        Last chance to spray? white-peach, south-wall
        Shelter by Thu 11 Mar: white-peach, south-wall
        Slot Fri 5 Mar 10:10: white-peach, south-wall
        Look at the cover: white-peach, south-wall
        Cover spent: white-peach, south-wall
        Look for curl: white-peach, south-wall
        Look at the buds: white-peach, south-wall
        Chill need not met: white-peach, south-wall
        Pick curled leaves: white-peach, south-wall
        Infection season over: white-peach, south-wall
        No temperature: south-wall
        Back: temperature, south-wall
        20 sensors silent: south-wall
        Sensors back: south-wall
        Stuck temperature: south-wall
        Wrong temperature? south-wall
        Clock is wrong: garden
        Disk nearly full: garden
        Store was damaged: garden
        Alerts did not get out: garden
        24 alerts up to likely: garden
        """,
        string.Join('\n', ExampleAlerts.OfEveryKind().Select(alert => Words.Say(alert, _ => Zone).Title)));

    [Fact]
    public void Every_branch_of_the_built_in_words_can_be_said()
    {
        var at = new DateTimeOffset(2027, 3, 4, 9, 10, 0, TimeSpan.Zero);
        var others = RisenLevels.Covers
            .Select(cover => (Occasion)new WindowAhead(Longest, Longest, at, Level.Severe, at, 99.9, 99.9, null, at)
            {
                Rule = RuleName.WetHours.Word(),
                Cover = cover,
            })
            .Append(new SeasonClosed(Longest, Longest, at, WarmDays: false))
            .Append(new SensorsBack(Longest, at, at, 0, 0))
            .Append(new ClockWrong(at, TimeSpan.FromHours(1)))
            .Append(new SeasonClosed(Longest, Longest, at, WarmDays: true) { Sheltered = true, CurlMayShow = true })
            .Append(new SensorSilent(Longest, at, Longest, Quantity.Rain, at))
            .Append(new SensorSilent(Longest, at, Longest, Quantity.LeafWetnessUnderShelter, at) { IsLate = true })
            .Append(new SensorsSilent(Longest, at, 99, at) { IsLate = true })
            .Append(new SensorStuck(Longest, at, Longest, Quantity.Humidity, 71.25, at));

        foreach (var occasion in RisenLevels.OfEveryBranch(Longest, at).Concat(others))
        {
            var text = Words.Say(Alert.Of(occasion, at), _ => Zone);
            Assert.InRange(text.Title.Length, 5, 50);
            Assert.InRange(text.Body.Length, 40, 500);
            Assert.Equal(4, text.Body.Split('\n').Length);
            Assert.DoesNotContain("false", text.Body, StringComparison.Ordinal);
        }
    }

    [Fact]
    public void There_is_a_word_for_every_quantity_and_every_level()
    {
        var at = new DateTimeOffset(2027, 3, 3, 6, 0, 0, TimeSpan.Zero);
        foreach (var quantity in Enum.GetValues<Quantity>())
        {
            var text = Words.Say(Alert.Of(new SensorSilent("yard", at, "garden/x", quantity, at.AddHours(-3)), at), _ => Zone);
            Assert.Contains(quantity == Quantity.WindSpeed ? "wind" : quantity.Name().Split(' ')[0], text.Body, StringComparison.Ordinal);
        }

        foreach (var level in Enum.GetValues<Level>().Where(level => level > Level.Clear))
        {
            var risen = new LevelRisen(
                "yard", "tree", at, level, Level.Clear, at, at)
            { Rule = RuleName.WetHours.Word(), LookFrom = new(2027, 3, 13) };
            Assert.Contains(level.Word(), Words.Say(Alert.Of(risen, at), _ => Zone).Title, StringComparison.Ordinal);
        }
    }

    [Theory]
    [InlineData("{{ typo }}")]
    [InlineData("{{ 100 | divided_by: 0 }}")]
    [InlineData("{% include 'other' %}")]
    [InlineData("{{ 1.5 | round: -1 }}")]
    [InlineData("{{ 'a' | base64_decode }}")]
    public void Words_that_fail_where_no_example_reached_give_way_to_the_built_in_ones(string failing)
    {
        var other = AlertWords.Read(
            EnglishText.Replace("The spray cover was fresh.", failing, StringComparison.Ordinal),
            "my-words.liquid");
        var likely = ExampleAlerts.OfEveryKind()[0];
        var covered = Alert.Of((LevelRisen)likely.Occasions[0] with { Cover = Cover.Fresh }, likely.At);

        Assert.Contains("The spray cover was fresh.", other.Say(covered, _ => Zone).Body, StringComparison.Ordinal);
    }

    [Theory]
    [MemberData(nameof(SprayKinds))]
    public void Where_spraying_is_meant_the_label_is_the_law(string kind) =>
        Assert.Contains(
            "label is the law",
            Words.Say(ExampleAlerts.OfEveryKind().Single(alert => alert.Kind == kind), _ => Zone).Body,
            StringComparison.Ordinal);

    [Fact]
    public void A_likely_window_reads_so()
    {
        var text = Words.Say(ExampleAlerts.OfEveryKind()[0], _ => Zone);

        Assert.Equal("Curl weather likely: white-peach, south-wall", text.Title);
        Assert.Equal(
            """
            Likely infection weather on white-peach at south-wall since Thu 4 Mar 10:10, up from possible.
            24.8 wet hours, 13.6 mm of rain, mean 9.3 °C (rule wet-hours).
            The spray cover was due for a look: rain has worked on it. Spraying now does not undo it. Curl may show from Sat 13 Mar.
            Uncertain: weather data are missing or doubted. Other rules: rain-day clear, two-day likely. The level's curve is assumed.
            """,
            text.Body);
    }

    [Fact]
    public void A_level_that_builds_without_rain_gauge_reads_so()
    {
        var at = new DateTimeOffset(2027, 3, 4, 9, 10, 0, TimeSpan.Zero);
        var risen = new LevelRisen("south-wall", "white-peach", at, Level.Building, Level.Clear, at, at)
        {
            Rule = RuleName.WetHours.Word(),
            LookFrom = new DateOnly(2027, 3, 13),
            WetHours = 6.25,
            MeanTempC = 9.3,
            FractionReached = 0.5,
            NoRainGauge = true,
        };

        Assert.Equal(
            """
            Building infection weather on white-peach at south-wall since Thu 4 Mar 10:10, up from clear.
            6.3 wet hours, no rain gauge, mean 9.3 °C; 50 % of the minimum (rule wet-hours).
            Nothing is infected yet; watch the level.
            The level's curve is assumed.
            """,
            Words.Say(Alert.Of(risen, at), _ => Zone).Body);
    }

    [Fact]
    public void A_returned_hub_with_sensors_still_silent_reads_so()
    {
        var text = Words.Say(ExampleAlerts.OfEveryKind().Single(alert => alert.Kind == "sensors-back"), _ => Zone);

        Assert.Equal("Sensors back: south-wall", text.Title);
        Assert.Equal(
            """
            The sensors at south-wall are heard again since Thu 4 Mar 10:10.
            They were silent since Thu 4 Mar 05:10; 18 back so far.
            Look at the other 2.
            Hours between of which no value came stay unknown.
            """,
            text.Body);
    }

    [Fact]
    public void A_summary_lists_what_fits_and_counts_the_rest()
    {
        var alert = ExampleAlerts.OfEveryKind()[^1];

        var text = Words.Say(alert, _ => Zone);

        var lines = text.Body.Split('\n');
        Assert.Equal("24 alerts up to likely: garden", text.Title);
        Assert.Equal("24 alerts waited for the morning:", lines[0]);
        Assert.Equal("Thu 4 Mar 10:10: Curl weather likely: white-peach, south-wall", lines[1]);
        Assert.Equal($"and {24 - (lines.Length - 3)} more.", lines[^2]);
        Assert.Equal("Sprays: the label is the law, local rules come first.", lines[^1]);
    }

    // Local time against a library with a time zone database of its own.
    [Theory]
    [InlineData("Europe/Ljubljana")]
    [InlineData("Australia/Lord_Howe")]
    [InlineData("America/St_Johns")]
    public void Times_are_the_sites_own(string zone)
    {
        for (var at = new DateTimeOffset(2027, 1, 1, 0, 0, 0, TimeSpan.Zero); at.Year < 2028; at = at.AddHours(31))
        {
            var local = Instant.FromDateTimeOffset(at).InZone(DateTimeZoneProviders.Tzdb[zone]).LocalDateTime;
            var expected = local.ToString("ddd d MMM HH:mm", System.Globalization.CultureInfo.InvariantCulture);

            var text = Words.Say(Alert.Of(new DiskLow(at, 90), at), _ => TimeZoneInfo.FindSystemTimeZoneById(zone));

            Assert.Contains($"at {expected}.", text.Body, StringComparison.Ordinal);
        }
    }

    [Fact]
    public void Another_file_changes_words_names_of_days_and_the_decimal_sign()
    {
        var other = AlertWords.Read(
            EnglishText
                .Replace("weekdays = Mon Tue Wed Thu Fri Sat Sun", "weekdays = pon tor sre čet pet sob ned", StringComparison.Ordinal)
                .Replace("decimal = .", "decimal = ,", StringComparison.Ordinal)
                .Replace("level.likely = likely", "level.likely = verjetno", StringComparison.Ordinal)
                .Replace("{weekday} {day} {month} {time}", "{weekday} {day}. {month} ob {time}", StringComparison.Ordinal),
            "words.sl.liquid");

        var text = other.Say(ExampleAlerts.OfEveryKind()[0], _ => Zone);

        Assert.Equal("Curl weather verjetno: white-peach, south-wall", text.Title);
        Assert.Contains("since čet 4. Mar ob 10:10", text.Body, StringComparison.Ordinal);
        Assert.Contains("24,8 wet hours, 13,6 mm", text.Body, StringComparison.Ordinal);
    }

    [Theory]
    [InlineData("{{ free_mb }} MB", "{{ free_gb }} GB", "the part '--- disk-low body' cannot be put into words")]
    [InlineData("{{ free_mb }} MB", "{{ free_mb | shout }} MB", "the part '--- disk-low body' cannot be put into words")]
    [InlineData("{{ free_mb }} MB", "{{ free_mb MB", "the part '--- disk-low body' is no valid Liquid template")]
    [InlineData("garden = garden", "garden", "'garden' is not 'name = word'")]
    [InlineData("moment = {weekday} {day} {month} {time}", "moment =", "'moment =' says nothing")]
    [InlineData("months = Jan Feb", "months = Jan", "'months' has 11 names but needs 12")]
    [InlineData("months = January February", "months = January", "'page.months' has 11 names but needs 12")]
    [InlineData(
        "now.building = Wet for {hours}.",
        "now.building = Wet for {ours}.",
        "'now.building = …' has {ours}, which nothing fills in; the built-in words have {hours} there")]
    [InlineData("--- disk-low title", "--- clock-wrong title", "there is a second part '--- clock-wrong title'")]
    [InlineData("Look at the cover: {{ place }}", "", "must not be empty")]
    [InlineData("{{ free_mb }} MB", "{% for i in (1..2000000000) %}x{% endfor %} MB", "the part '--- disk-low body' has a range")]
    [InlineData("{{ free_mb }} MB", "{{ free_mb | divided_by: 0 }} MB", "the part '--- disk-low body' cannot be put into words")]
    [InlineData("{{ free_mb }} MB", "{% include 'other' %} MB", "the part '--- disk-low body' cannot be put into words")]
    public void A_wrong_file_is_refused_with_a_sentence(string from, string to, string sentence)
    {
        var error = Assert.Throws<WordsProblemException>(() =>
            AlertWords.Read(EnglishText.Replace(from, to, StringComparison.Ordinal), "my-words.liquid"));

        Assert.StartsWith("my-words.liquid:", error.Message, StringComparison.Ordinal);
        Assert.Contains(sentence, error.Message, StringComparison.Ordinal);
    }
}
