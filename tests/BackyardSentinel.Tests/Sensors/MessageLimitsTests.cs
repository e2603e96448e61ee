using BackyardSentinel.Units;

namespace BackyardSentinel.Sensors;

// How long, how many and how deep: what is just taken, and what is one more. The limits are assumed.
public sealed class MessageLimitsTests
{
    private static readonly DateTimeOffset Now = new(2027, 3, 1, 6, 0, 0, TimeSpan.Zero);

    private static SeriesMap Series(string? path, Quantity quantity = Quantity.Temperature) =>
        new() { SiteId = "yard", Quantity = quantity, Topic = "a/b", Path = path };

    private static SeriesMap Text(string path) => Series(path) with { Shape = MessageShape.Text };

    private static PayloadResult Read(string payload, params SeriesMap[] series) =>
        new PayloadMap(series).Read("a/b", Encoding.UTF8.GetBytes(payload), Now, retained: false);

    /// <summary>The readings, or the reasons why there is none.</summary>
    private static string Told(PayloadResult result) => string.Join(
        '|',
        [
            .. result.Readings.Select(one => one.Reading.Value.ToString("0.###", CultureInfo.InvariantCulture)),
            .. result.Remarks.Select(one => one.Reason.Text),
        ]);

    private static string Times(int count, string text, char between = ',') => string.Join(between, Enumerable.Repeat(text, count));

    [Fact]
    public void A_number_has_128_bytes_at_most_and_is_shown_by_its_first_forty()
    {
        Assert.Equal(9, NumberReader.Read(new string('0', 127) + "9").Value);
        Assert.Equal("129 bytes are too many for a number", NumberReader.Read(new string('0', 128) + "9").Reason!.Text);
        Assert.Equal($"\"{new string('x', 40)}\" is not a number", NumberReader.Read(new string('x', 40)).Reason!.Text);
        Assert.Equal($"\"{new string('x', 40)}…\" is not a number", NumberReader.Read(new string('x', 41)).Reason!.Text);
        Assert.Equal("\"a?b?\" is not a number", NumberReader.Read("a\u001bb\u0085").Reason!.Text);
    }

    [Fact]
    public void Which_control_characters_are_no_text_is_told_apart_from_a_wrong_number()
    {
        for (byte control = 0; control < 32; control++)
        {
            var isNoText = control is < 9 or 11 or 12 or (> 13 and < 20);
            var result = NumberReader.Read([(byte)'x', control, (byte)'y']);
            Assert.Equal(isNoText, result.Reason!.Text.StartsWith("the message is not UTF-8 text", StringComparison.Ordinal));
        }
    }

    [Fact]
    public void Only_a_letter_or_a_percent_sign_behind_a_number_begins_a_unit()
    {
        for (var first = '!'; first < 127; first++)
        {
            if (!char.IsAsciiDigit(first) && first is not (',' or '.'))
                Assert.Equal(
                    char.IsAsciiLetter(first) || first == '%' ? $"\"5 {first}x\" carries the unit \"{first}x\"; a bare number is needed"
                        : $"\"5 {first}x\" is a number followed by \"{first}x\"",
                    NumberReader.Read($"5 {first}x").Reason!.Text);
        }
    }

    [Theory]
    [InlineData("1.01", 1.01)]
    [InlineData("1.0134", 1.0134)]
    [InlineData("1.013", null)]
    [InlineData("1013", 1013.0)]
    [InlineData("0,013", 0.013)]
    [InlineData("12.5 C", 12.5)]
    [InlineData("12.575 C", null)]
    [InlineData("1.234 mm", null)]
    [InlineData("1.23 mm", 1.23)]
    public void Just_three_digits_behind_a_point_may_be_thousands_where_a_comma_is_the_mark(string text, double? value)
    {
        var result = NumberReader.Read(Encoding.UTF8.GetBytes(text), decimalComma: true, out _);
        Assert.Equal(value, result.Outcome == NumberOutcome.Number ? result.Value : null);
    }

    [Theory]
    [InlineData("1e5", 1e5)]
    [InlineData("1e+5", 1e5)]
    [InlineData("1E-5", 1e-5)]
    [InlineData("+.5e1", 5.0)]
    [InlineData("5.e1", 50.0)]
    [InlineData("1e+", null)]
    [InlineData("1.e", null)]
    [InlineData(".", null)]
    [InlineData("+", null)]
    [InlineData("-.", null)]
    [InlineData(".e5", null)]
    public void A_number_is_as_long_as_its_digits_reach(string text, double? value)
    {
        var result = NumberReader.Read(text);
        Assert.Equal(value, result.Outcome == NumberOutcome.Number ? result.Value : null);
    }

    [Fact]
    public void Every_mark_of_no_value_is_known_to_messages_and_logs_in_any_case()
    {
        foreach (var word in (string[])
            ["nan", "null", "none", "-", "--", "n/a", "na", "unknown", "unavailable", "offline", "online", "error"])
        {
            foreach (var text in (string[])[word, word.ToUpperInvariant()])
            {
                Assert.True(NumberReader.IsMissing(text));
                Assert.Equal((NumberOutcome.NoReading, $"the sensor says \"{word}\""), Outcome(text));
            }
        }

        Assert.True(NumberReader.IsMissing(""));
        Assert.False(NumberReader.IsMissing("0"));
        Assert.False(NumberReader.IsMissing("none at all"));

        static (NumberOutcome, string) Outcome(string text) =>
            NumberReader.Read(text) is { Outcome: var outcome, Reason: { } reason } ? (outcome, reason.Text) : default;
    }

    [Fact]
    public void A_word_for_wet_has_sixty_letters_at_most()
    {
        var (longest, longer) = (new string('w', 60), new string('w', 61));
        var leaf = Series(null, Quantity.LeafWetness) with { WetWords = [longest, longer], DryWords = ["dry"] };
        Assert.Equal("100", Told(Read(longest, leaf)));
        Assert.Equal("0", Told(Read(" DRY\n", leaf)));
        // Scale and offset are for numbers.
        Assert.Equal("0", Told(Read("dry", leaf with { Scale = 2, Offset = 5 })));
        Assert.Equal($"\"{longer[..40]}…\" is neither a number nor a word for wet or dry", Told(Read(longer, leaf)));
    }

    [Fact]
    public void A_line_of_text_has_a_thousand_values_at_most_and_twelve_of_them_are_told()
    {
        Assert.Equal("9", Told(Read(Times(1000, "9"), Text("[999]"))));
        Assert.Equal("the message has more than 1000 values", Told(Read(Times(1001, "9"), Text("[999]"))));
        Assert.Equal("nothing at path [2] in this message", Told(Read("9;8", Text("[2]"))));
        Assert.Equal("8", Told(Read("9;8", Text("[1]"))));
        Assert.Equal("8", Told(Read("x=9;y=8", Text("[\"y\"]"))));
        Assert.Equal("7", Told(Read("=9;7", Text("[1]"))));
        var map = new PayloadMap([Text("h")]);
        for (var i = 1; i <= 3; i++)
        {
            var told = Told(map.Read("a/b", Encoding.UTF8.GetBytes("a=1;2;" + Times(12, "z=3", ';')), Now, false));
            Assert.Equal(i < 3 ? "nothing at path h in this message" : $"nothing at path h; the message has a, [1], {Names(10)}", told);
        }

        static string Names(int count) => string.Join(", ", Enumerable.Repeat("z", count));
    }

    [Fact]
    public void A_list_with_times_has_a_thousand_values_at_most_and_so_has_a_pack()
    {
        var list = Series("v[*]") with { TimePath = "at[*]" };
        Assert.Equal(1000, Read(List(1000), list).Readings.Count);
        Assert.Equal("1001 values are more than the 1000 that are read of one message", Told(Read(List(1001), list)));
        var pack = Series("t") with { Shape = MessageShape.Senml };
        Assert.Equal(1000, Read(Pack(1000), pack).Readings.Count);
        Assert.Equal("the pack has 1001 records; up to 1000 are read", Told(Read(Pack(1001), pack)));

        static string List(int count) =>
            $"{{\"v\":[{Times(count, "9")}],\"at\":[{string.Join(',', Enumerable.Range(1, count).Select(i => 1803880000 + i))}]}}";

        static string Pack(int count) =>
            $"[{string.Join(',', Enumerable.Range(1, count).Select(i => $"{{\"n\":\"t\",\"v\":9,\"t\":{1803880000 + i}}}"))}]";
    }

    [Theory]
    [InlineData("0", "0")]
    [InlineData("60", "100")]
    [InlineData("63", "105")]
    [InlineData("63.1", "63.1 minutes wet cannot be: 0 to 60 are taken")]
    [InlineData("-0.1", "-0.1 minutes wet cannot be: 0 to 60 are taken")]
    public void Minutes_of_wetness_may_be_a_twentieth_more_than_the_time_they_are_counted_over(string minutes, string told) =>
        Assert.Equal(
            told,
            Told(Read(minutes, Series(null, Quantity.LeafWetness) with { Unit = Unit.Minute, Every = TimeSpan.FromHours(1) })));

    [Fact]
    public void A_hundred_remarks_are_made_of_a_message_and_the_first_refusal_all_the_same()
    {
        SeriesMap[] missing = [.. Enumerable.Range(0, 105).Select(i => Series($"x{i}"))];
        Assert.Equal(100, Read("{\"t\":9}", missing).Remarks.Count);

        var result = Read("{\"t\":\"cold\",\"u\":\"warm\"}", [.. missing, Series("t"), Series("u")]);
        Assert.Equal(101, result.Remarks.Count);
        Assert.Equal("\"cold\" is not a number", result.QuarantineReason!.Text);
        // The same of two series is told of both, and of one once.
        Assert.Equal(2, Read("{\"t\":\"cold\",\"u\":\"cold\"}", Series("t"), Series("u")).Remarks.Count);
    }

    [Fact]
    public void A_reason_has_six_hundred_letters_at_most_and_nothing_that_moves_a_cursor()
    {
        var whole = new string('p', 600 - "nothing at path  in this message".Length);
        Assert.Equal($"nothing at path {whole} in this message", Told(Read("{\"t\":9}", Series(whole))));
        Assert.Equal($"nothing at path {whole}p in this messag…", Told(Read("{\"t\":9}", Series(whole + "p"))));
        Assert.Equal("nothing at path a?b?c?d? in this message", Told(Read("{\"t\":9}", Series("a\u2028b\u2029c\u202Ed\u0007"))));
    }

    [Theory]
    [InlineData("humidity", """{"humidity":9}""", "9")]
    [InlineData("HUMIDITY", """{"humidity":9}""", "is the path humidity?")]
    [InlineData("hum", """{"humidity":9}""", "is the path humidity?")]
    [InlineData("humidity_pct", """{"humidity":9}""", "is the path humidity?")]
    [InlineData("hu", """{"humidity":9}""", "in this message")]
    [InlineData("humidity", """{"hu":9}""", "in this message")]
    [InlineData("x.hum", """{"a":{"hum":9},"b":{"hum":8}}""", "in this message")]
    [InlineData("x.hum", """{"a":{"hum":9},"b":{"humid":8}}""", "is the path a.hum?")]
    [InlineData("hum", """{"humid":9,"humidity":8}""", "in this message")]
    [InlineData("hum", """{"a":{"b":{"c":{"d":{"e":{"Hum":9}}}}}}""", "is the path a.b.c.d.e.Hum?")]
    [InlineData("hum", """{"a":{"b":{"c":{"d":{"e":{"f":{"Hum":9}}}}}}}""", "in this message")]
    [InlineData("hum", """{"x y":{"Hum":"9,5"}}""", "is the path [\"x y\"].Hum?")]
    [InlineData("hum", """[1,2,3,4,5,6,7,8,9,10,11,{"Hum":1}]""", "is the path [11].Hum?")]
    [InlineData("hum", """[1,2,3,4,5,6,7,8,9,10,11,12,{"Hum":1}]""", "in this message")]
    [InlineData("hum", """["","","","","","","","","","","","",{"Hum":1}]""", "in this message")]
    public void A_path_is_guessed_where_one_field_only_is_like_it(string path, string payload, string told) =>
        Assert.EndsWith(told, Told(Read(payload, Series(path, Quantity.Humidity))), StringComparison.Ordinal);

    [Fact]
    public void Fields_with_longer_names_than_sixty_letters_are_not_offered()
    {
        var (longest, longer) = (new string('h', 60), new string('h', 61));
        Assert.EndsWith($"is the path {longest}?", Told(Read($"{{\"{longest}\":9}}", Series("hhh"))), StringComparison.Ordinal);
        Assert.Equal("nothing at path hhh in this message", Told(Read($"{{\"{longer}\":9}}", Series("hhh"))));
    }

    [Theory]
    [InlineData("200000000000000000000", "8307-10-01T19:33:20")]
    [InlineData("200000000001000000000", null)]
    [InlineData("-60000000000", "0068-09-03T13:20:00")]
    [InlineData("-60000000001", null)]
    public void An_epoch_is_of_a_year_that_the_calendar_has(string text, string? utc)
    {
        using var json = System.Text.Json.JsonDocument.Parse(text);
        var isRead = TimeReader.TryRead(json.RootElement, null, out var time, out var reason);
        Assert.Equal(utc, isRead ? time.UtcDateTime.ToString("yyyy-MM-dd'T'HH:mm:ss", CultureInfo.InvariantCulture) : null);
        Assert.Equal(utc is null, reason is not null);
    }

    /// <summary>Bare words are read as null, but for those within a text or a longer word.</summary>
    [Theory]
    [InlineData("""{"t":9,"u":nan}""", true)]
    [InlineData("""{"t":9,"u":[NaN,1]}""", true)]
    [InlineData("{\"t\":9,\"u\":\t-Infinity\r}", true)]
    [InlineData("{\"t\":9,\"u\":\nInfinity }", true)]
    [InlineData("{\"t\":9,\"u\":\r-inf\n}", true)]
    [InlineData("{\"t\":9,\"u\": inf\t}", true)]
    [InlineData("""{"t":9,"u":[-nan],"v":NAN,"w":None}""", true)]
    [InlineData("""{"t":9,"u":"a \" nan","v":nan}""", true)]
    [InlineData("""{"t":9,"u":nano}""", false)]
    [InlineData("""{"t":9,"u":1nan}""", false)]
    [InlineData("""{"t":9,"u":none}""", false)]
    [InlineData("""{"t":9,"u":nan""", false)]
    public void Bare_words_cost_their_own_value_only(string payload, bool isTaken)
    {
        var told = Told(Read(payload, Series("t")));
        if (isTaken)
            Assert.Equal("9|bare words such as nan are not JSON; they were read as null", told);
        else
            Assert.StartsWith("not JSON from byte", told, StringComparison.Ordinal);
    }

    [Theory]
    [InlineData("""{"a":"[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[","t":9}""", "9")]
    [InlineData("""{"a":"\"[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[","t":9}""", "9")]
    [InlineData("""{"a":"\\","t":9}""", "9")]
    [InlineData("{\"t\":9}\0\0", "9|what follows the JSON, bytes of 0, is left out")]
    [InlineData("{\"t\":9}\n", "9")]
    public void What_stands_in_a_text_is_no_nesting(string payload, string told) => Assert.Equal(told, Told(Read(payload, Series("t"))));

    [Fact]
    public void Many_lists_side_by_side_are_not_deep() =>
        Assert.Equal("9", Told(Read($"{{\"a\":[{Times(100, "[]")}],\"b\":[{Times(100, "{}")}],\"t\":9}}", Series("t"))));
}
