using BackyardSentinel.Units;

namespace BackyardSentinel.Sensors;

// Where one reading ends and another begins: totals that roll over or fall, times that can be right, units and paths that are meant.
public sealed class SensorEdgesTests
{
    private static readonly DateTimeOffset Now = new(2027, 3, 1, 6, 0, 0, TimeSpan.Zero);

    private static SeriesMap Series(Quantity quantity, string? path = "v") =>
        new() { SiteId = "yard", Quantity = quantity, Topic = "a/b", Path = path, TimePath = path is null ? null : "at" };

    private static SeriesMap Total => Series(Quantity.Rain) with { RainIsTotal = true, Unit = Unit.Millimetre };

    /// <summary>What comes of it: the value and its time in minutes from now, and what is said.</summary>
    private static string Told(PayloadMap map, string value, DateTimeOffset? own = null, DateTimeOffset? at = null, bool retained = false)
    {
        var time = own is { } moment
            ? $",\"at\":\"{moment.UtcDateTime.ToString("yyyy-MM-dd'T'HH:mm:ss.fff'Z'", CultureInfo.InvariantCulture)}\""
            : "";
        var result = map.Read("a/b", Encoding.UTF8.GetBytes($"{{\"v\":{value}{time}}}"), at ?? own ?? Now, retained);
        return string.Join('|', [
            .. result.Readings.Select(
                one => string.Create(CultureInfo.InvariantCulture, $"{one.Reading.Value:0.###}@{(one.Reading.Time - Now).TotalMinutes}")),
            .. result.Remarks.Select(one => one.Reason.Text),
        ]);
    }

    [Theory]
    // A counter of 819.2 mm goes on at 0 where the rain between is 50 mm at most: of two hundred and fifty tips.
    [InlineData(4096, 3996, 150, "50")]
    [InlineData(4096, 3996, 151, "fell")]
    // One of 100 mm where it is a quarter of a turn at most.
    [InlineData(500, 400, 25, "25")]
    [InlineData(500, 400, 26, "fell")]
    public void A_counter_rolls_over_where_no_more_has_fallen_than_falls(int turn, int before, int after, string told)
    {
        var map = new PayloadMap([Total with { RollsOverAt = turn, Scale = 0.2 }]);
        Told(map, $"{before}", Now);
        var said = Told(map, $"{after}", Now.AddMinutes(10));
        if (told == "fell")
            Assert.Contains("rain total fell", said, StringComparison.Ordinal);
        else
            Assert.Equal($"{told}@20", Told(map, $"{after}", Now.AddMinutes(20)));
    }

    [Fact]
    public void A_copy_of_what_came_before_the_roll_over_is_no_rain_and_no_turn()
    {
        var map = new PayloadMap([Total with { RollsOverAt = 500, Scale = 0.2 }]);
        Told(map, "498", Now);
        Assert.Equal("1@10", Told(map, "3", Now.AddMinutes(10)));
        Assert.StartsWith("0@20", Told(map, "498", Now.AddMinutes(20)), StringComparison.Ordinal);
        Assert.Equal("0@30", Told(map, "3", Now.AddMinutes(30)));
        Assert.Equal("0.4@40", Told(map, "5", Now.AddMinutes(40)));
        // What the size says no count can be, and what is below 0, is no turn either.
        Assert.Equal("a rain total below 0 is none", Told(map, "-1", Now.AddMinutes(50)));
        Assert.StartsWith("0@60|rain total fell", Told(map, "500", Now.AddMinutes(60)), StringComparison.Ordinal);
    }

    [Theory]
    [InlineData(0, true)]
    [InlineData(1, false)]
    public void Four_falls_count_as_amounts_where_the_last_is_within_a_day_of_the_first(int secondsMore, bool isTold)
    {
        var map = new PayloadMap([Total]);
        List<string> said = [Told(map, "1", Now.AddHours(-1))];
        foreach (var at in (DateTimeOffset[])[Now, Now.AddHours(8), Now.AddHours(16), Now.AddHours(24).AddSeconds(secondsMore)])
        {
            said.Add(Told(map, "0.5", at));
            said.Add(Told(map, "1", at.AddMinutes(5)));
        }

        Assert.Equal(isTold, said.Exists(one => one.Contains("falls again and again", StringComparison.Ordinal)));
    }

    [Fact]
    public void A_total_that_is_seeded_goes_on_and_what_is_older_than_it_is_no_rain()
    {
        var series = Total;
        var map = new PayloadMap([series]);
        map.Seed(new RainTotal(series.Name, 10, Now));
        map.Seed(new RainTotal("another", 99, Now));
        Assert.Equal("rain total is not newer than the last one", Told(map, "11", Now));
        Assert.Equal("1@1", Told(map, "11", Now.AddMinutes(1)));
        // The store keeps each total that moved.
        var result = map.Read("a/b", """{"v":12,"at":"2027-03-01T06:09:00Z"}"""u8.ToArray(), Now.AddMinutes(9), false);
        Assert.Equal([new RainTotal(series.Name, 12, Now.AddMinutes(9))], result.Totals);
    }

    [Fact]
    public void Where_readings_are_the_clock_their_times_may_be_of_any_year_but_not_leap_by_two()
    {
        PayloadMap Map() => new([Series(Quantity.Temperature)], timesAreTheClock: true);
        var far = new DateTimeOffset(2100, 12, 31, 23, 59, 59, TimeSpan.Zero);
        Assert.EndsWith(far.AddSeconds(0).Subtract(Now).TotalMinutes.ToString(CultureInfo.InvariantCulture), Told(Map(), "9", far, far));
        Assert.Contains("lies years ahead of the log's", Told(Map(), "9", far.AddSeconds(1), far), StringComparison.Ordinal);
        Assert.Equal("9@1051200", Told(Map(), "9", Now.AddDays(730), Now));
        Assert.Contains(
            "lies years ahead of the log's", Told(Map(), "9", Now.AddDays(730).AddMilliseconds(1), Now), StringComparison.Ordinal);
        // The first reading of a log has no clock before it.
        Assert.Equal("9@0", Told(Map(), "9", Now, DateTimeOffset.UnixEpoch));
        var before = Told(Map(), "9", null, DateTimeOffset.UnixEpoch);
        Assert.EndsWith("no reading before it has begun the log", before, StringComparison.Ordinal);
        // A kept copy has its own time, however old.
        Assert.Equal("9@-14400", Told(Map(), "9", Now.AddDays(-10), Now, retained: true));
        var live = new PayloadMap([Series(Quantity.Temperature)]);
        Assert.Equal("retained, and older than a day", Told(live, "9", Now.AddDays(-10), Now, retained: true));
    }

    [Theory]
    [InlineData(Quantity.Rain, true, "3 in/h", "76.2")]
    [InlineData(Quantity.Rain, true, "3 mm per hour", "3")]
    [InlineData(Quantity.Rain, true, "3 mm/hr", "3")]
    [InlineData(Quantity.Rain, true, "3 mm", null)]
    [InlineData(Quantity.Rain, false, "3 mm/h", null)]
    [InlineData(Quantity.Rain, false, "0.1 in", "2.54")]
    [InlineData(Quantity.Temperature, false, "50 °F", "10")]
    [InlineData(Quantity.Temperature, false, "50 %", null)]
    [InlineData(Quantity.Humidity, false, "50 %", "50")]
    [InlineData(Quantity.WindSpeed, false, "36 km/h", "10")]
    [InlineData(Quantity.LeafWetness, false, "50 %", "50")]
    [InlineData(Quantity.LeafWetness, false, "500 mV", "500")]
    [InlineData(Quantity.LeafWetness, false, "5 min", null)]
    public void A_unit_behind_the_number_is_one_of_what_is_measured(Quantity quantity, bool isRate, string text, string? value)
    {
        var map = new PayloadMap([Series(quantity, null) with { RainIsRate = isRate, Unit = isRate ? Unit.Millimetre : Unit.Raw }]);
        map.Read("a/b", Encoding.UTF8.GetBytes(text), Now, retained: false);
        var result = map.Read("a/b", Encoding.UTF8.GetBytes(text), Now.AddMinutes(isRate ? 20 : 10), retained: false);
        // A rate has held for a third of an hour.
        var read = result.Readings.Select(one => Math.Round(one.Reading.Value * (isRate ? 3 : 1), 6));
        Assert.Equal(value, read.Select(one => one.ToString(CultureInfo.InvariantCulture)).SingleOrDefault());
        Assert.Equal(value is null, result.QuarantineReason?.Text.Contains("which is no unit known for", StringComparison.Ordinal) == true);
    }

    [Theory]
    [InlineData("t=21", "t")]
    [InlineData("t=21 w=3", "t, w")]
    public void A_line_that_lacks_what_is_looked_for_says_what_it_has(string text, string has)
    {
        var map = new PayloadMap([Series(Quantity.Humidity, "h") with { Shape = MessageShape.Text }]);
        // It is told once it lacks again and again.
        var told = Enumerable.Range(0, 50)
            .SelectMany(i => map.Read("a/b", Encoding.UTF8.GetBytes(text), Now.AddMinutes(i), retained: false).Remarks)
            .First(remark => remark.Kind == RemarkKind.Refused);
        Assert.Equal($"nothing at path h; the message has {has}", told.Reason.Text);
    }

    [Theory]
    [InlineData("", "path \"\" is empty")]
    [InlineData("a.", "a name is missing at column 3 of path a.")]
    [InlineData("a..b", "a name is missing at column 3 of path a..b")]
    [InlineData(".a", "a name is missing at column 1 of path .a")]
    [InlineData("a.[0]", "a name is missing at column 3 of path a.[0]")]
    [InlineData("a[0", "the bracket at column 2 of path a[0 is not closed")]
    [InlineData("[\"x]", "the bracket at column 1 of path [\"x] is not closed")]
    [InlineData("a[-1]", "[-1] in path a[-1] is neither a place")]
    [InlineData("a[=x]", "[=x] in path a[=x] is neither a place")]
    [InlineData("a[*][*]", "[*] in path a[*][*] is neither a place")]
    [InlineData("a[]", "[] in path a[] is neither a place")]
    public void A_path_that_is_none_says_where(string path, string reason)
    {
        Assert.False(JsonPath.TryParse(path, out var none, out var why));
        Assert.Null(none);
        Assert.StartsWith(reason, why, StringComparison.Ordinal);
    }

    [Theory]
    [InlineData("a.b", """{"a":{"b":9}}""", "9")]
    [InlineData("a[\"b\"]", """{"a":{"b":9}}""", "9")]
    [InlineData("a.[\"b\"]", """{"a":{"b":9}}""", null)]
    [InlineData("a[1]", """{"a":[8,9]}""", "9")]
    [InlineData("a[2]", """{"a":[8,9]}""", null)]
    [InlineData("a[0]", """{"a":{"0":9}}""", null)]
    [InlineData("a.b", """{"a":[9]}""", null)]
    [InlineData("a[k=x].v", """{"a":[7,{"v":8},{"k":"y","v":7},{"k":"x","v":9},{"k":"x","v":6}]}""", "9")]
    [InlineData("a[k=2].v", """{"a":[{"k":1,"v":8},{"k":2,"v":9}]}""", "9")]
    [InlineData("a[k=x].v", """{"a":{"k":"x","v":9}}""", null)]
    [InlineData("a[*].v", """{"a":[{"v":9}]}""", null)]
    public void A_path_leads_to_one_value_or_nowhere(string path, string json, string? value)
    {
        using var document = System.Text.Json.JsonDocument.Parse(json);
        Assert.Equal(value, JsonPath.TryParse(path, out var parsed, out _) ? parsed.Find(document.RootElement)?.GetRawText() : null);
    }

    [Fact]
    public void A_path_over_each_entry_is_followed_to_the_list_and_on_from_each()
    {
        using var document = System.Text.Json.JsonDocument.Parse("""{"a":[{"v":9},{"w":8},7],"b":{"v":1}}""");
        var path = JsonPath.Parse("a[*].v");
        Assert.Equal((true, 3), (path.HasEach, path.FindList(document.RootElement)!.Value.GetArrayLength()));
        Assert.Equal(
            [("9", true), (null, true), (null, false)],
            path.FindList(document.RootElement)!.Value.EnumerateArray()
                .Select(entry => (path.FindWithin(entry)?.GetRawText(), path.HasHolder(entry))));
        Assert.Null(JsonPath.Parse("b[*].v").FindList(document.RootElement));
        Assert.Null(JsonPath.Parse("b.v").FindList(document.RootElement));
        Assert.True(JsonPath.Parse("b.x").HasHolder(document.RootElement));
        Assert.False(JsonPath.Parse("b.v.x").HasHolder(document.RootElement));
        Assert.False(JsonPath.Parse("a[0]").HasHolder(document.RootElement));
        Assert.False(JsonPath.Parse("a[v=9]").HasHolder(document.RootElement));
    }

    [Fact]
    public void Series_are_read_back_from_the_names_of_a_store_in_its_order_of_preference() =>
        Assert.Equal(
            [
                ("yard", Quantity.Rain, "hub/gauge", "mm", 0), ("yard", Quantity.Temperature, "t", null, 0),
                ("field", Quantity.Rain, "r", "a#b", 0), ("yard", Quantity.Rain, "hub/other", null, 1),
            ],
            SeriesNames.Of([
                "yard/rain/hub/gauge#mm", "yard/temperature/t", "yard/rain", "yard/snow/x", "field/Rain/r#a#b", "yard/rain/hub/other",
            ]).Select(map => (map.SiteId, map.Quantity, map.Topic, map.Path, map.Rank)));

    [Theory]
    [InlineData("""{"episode":"e","kind":"seen"}""", "seen ")]
    [InlineData("""{"episode":"e","kind":"later","for":"6h"}""", "later 06:00:00")]
    [InlineData("""{"episode":"e","kind":"later","for":"90m"}""", "later 01:30:00")]
    [InlineData("""{"episode":"e","kind":"later","for":"720h"}""", "later 30.00:00:00")]
    [InlineData("""{"episode":"e","kind":"later","for":"43200m"}""", "later 30.00:00:00")]
    [InlineData("""{"episode":"e","kind":"later","for":"721h"}""", "\"for\" is no length of time up to 720h")]
    [InlineData("""{"episode":"e","kind":"later","for":"43201m"}""", "\"for\" is no length of time up to 720h")]
    [InlineData("""{"episode":"e","kind":"later","for":"000001h"}""", "\"for\" is no length of time up to 720h")]
    [InlineData("""{"episode":"e","kind":"later","for":"0h"}""", "\"for\" is no length of time up to 720h")]
    [InlineData("""{"episode":"e","kind":"later","for":"h"}""", "\"for\" is no length of time up to 720h")]
    [InlineData("""{"episode":"e","kind":"later","for":"6d"}""", "\"for\" is no length of time up to 720h")]
    [InlineData("""{"episode":"e","kind":"later"}""", "\"for\" is no length of time up to 720h")]
    [InlineData("""{"episode":"e","kind":"shout"}""", "the kind is neither seen nor later")]
    [InlineData("""{"episode":"","kind":"seen"}""", "the answer names no episode")]
    [InlineData("""{"episode":7,"kind":"seen"}""", "the answer names no episode")]
    [InlineData("""["seen"]""", "the answer names no episode")]
    [InlineData("""{"episode":"e","kind":"seen","x":[[[1]]]}""", "seen ")]
    [InlineData("""{"episode":"e","kind":"seen","x":[[[[1]]]]}""", "the answer is no JSON")]
    public void An_answer_to_an_alert_is_taken_or_told_why_not(string payload, string told)
    {
        var (answer, reason) = AnswerPayload.Read(Encoding.UTF8.GetBytes(payload));
        if (answer is null)
            Assert.StartsWith(told + "; an answer looks like", reason, StringComparison.Ordinal);
        else
            Assert.Equal((told, "e", null), ($"{answer.Kind} {answer.For}", answer.Episode, reason));
    }

    [Fact]
    public void An_answer_has_4096_bytes_at_most()
    {
        const string seen = """{"episode":"e","kind":"seen"}""";
        Assert.NotNull(AnswerPayload.Read(Encoding.UTF8.GetBytes(seen.PadRight(4096))).Answer);
        Assert.StartsWith(
            "the answer is longer than 4096 bytes",
            AnswerPayload.Read(Encoding.UTF8.GetBytes(seen.PadRight(4097))).Reason,
            StringComparison.Ordinal);
    }

    [Theory]
    [InlineData("""[{"n":"a","v":1,"bver":10}]""", "a 1  now")]
    [InlineData("""[{"n":"a","v":1,"bver":11}]""", "the SenML version 11 is newer than 10, which is read here")]
    [InlineData("""[{"n":"a","v":1,"bver":"10"}]""", "the SenML version \"10\" is newer than 10, which is read here")]
    [InlineData("""[{"n":"a","v":1,"x_":1}]""", "the SenML label \"x_\" must be understood, and it is not known here (RFC 8428, 4.4)")]
    [InlineData("""[7]""", "a SenML record is an object, and one of the pack is none")]
    [InlineData("""{"n":"a"}""", "a SenML pack is a list of records, and this is none")]
    [InlineData("""[{"n":"a","v":1,"t":268435455}]""", "a 1  2035-09-02T03:24:15")]
    [InlineData("""[{"n":"a","v":1,"t":268435456}]""", "a 1  1978-07-04T21:24:16")]
    [InlineData("""[{"n":"a","v":1,"t":200000000000}]""", "a 1  never")]
    [InlineData("""[{"n":"a","v":1,"t":-61803880800}]""", "a 1  never")]
    [InlineData("""[{"n":"a","v":1,"t":1e999}]""", "a 1  now")]
    [InlineData("""[{"bn":"x/","bu":"Cel","bv":10,"bs":5,"bt":-60,"n":"a","v":1},{"n":"b","s":2,"u":"m"}]""",
        "x/a 11 Cel 2027-03-01T05:59:00 x/b 7 m 2027-03-01T05:59:00")]
    [InlineData("""[{"bn":"x/","n":"a","vb":true},{"n":"b","vb":false},{"n":"c","vb":1},{"n":"d","vs":"wet","vb":true}]""",
        "x/a true  now x/b false  now x/c   now x/d wet  now")]
    public void A_pack_is_resolved_record_by_record(string pack, string told)
    {
        using var json = System.Text.Json.JsonDocument.Parse(pack);
        var (records, fault) = SenmlPack.Read(json.RootElement, Now, 1000);
        Assert.Equal(
            told,
            fault?.Text ?? string.Join(' ', records.Select(one => string.Create(
                CultureInfo.InvariantCulture, $"{one.Name} {one.Word ?? $"{one.Value ?? one.Sum}"} {one.Unit} {Time(one)}"))));

        static string Time(SenmlRecord one) => one.Time is not { } time ? "never"
            : time == Now ? "now"
            : time.UtcDateTime.ToString("yyyy-MM-dd'T'HH:mm:ss", CultureInfo.InvariantCulture);
    }
}
