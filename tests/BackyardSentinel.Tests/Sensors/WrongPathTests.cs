using BackyardSentinel.Sensors;

namespace BackyardSentinel.Tests.Sensors;

public sealed class WrongPathTests
{
    private static readonly DateTimeOffset Now = new(2027, 3, 1, 6, 0, 0, TimeSpan.Zero);

    private static PayloadMap Map(string path) =>
        new([
            new SeriesMap
            {
                SiteId = "yard",
                Quantity = Quantity.Humidity,
                Topic = "yard/log",
                Path = path,
            },
        ]);

    private static PayloadRemark? Say(PayloadMap map, string payload)
    {
        var result = map.Read("yard/log", Encoding.UTF8.GetBytes(payload), Now, retained: false);
        return result.Remarks.Count > 0 ? result.Remarks[0] : null;
    }

    [Theory]
    [InlineData("hum", """{"battery":88,"humidity":64,"name":"north"}""", "nothing at path hum; the message has battery, humidity; is the path humidity?")]
    [InlineData("Humidity", """{"humidity":"64,5"}""", "nothing at path Humidity; the message has humidity; is the path humidity?")]
    [InlineData("p.Hum", """{"p":{"hum":1,"air temp":2}}""", "nothing at path p.Hum; the message has p.hum, p[\"air temp\"]; is the path p.hum?")]
    public void A_path_close_to_a_field_is_told_with_the_first_message(string path, string payload, string reason)
    {
        var remark = Say(Map(path), payload);
        Assert.Equal((RemarkKind.Refused, reason), (remark!.Value.Kind, remark.Value.Reason.Text));
    }

    [Fact]
    public void A_path_that_never_led_anywhere_is_told_with_the_third_message()
    {
        var map = Map("rh");
        Assert.Equal(RemarkKind.NoReading, Say(map, """{"temp":9}""")!.Value.Kind);
        Assert.Equal(RemarkKind.NoReading, Say(map, """{"temp":9}""")!.Value.Kind);
        Assert.Equal("nothing at path rh; the message has temp", Say(map, """{"temp":9}""")!.Value.Reason.Text);
    }

    [Fact]
    public void A_sensor_that_leaves_out_what_has_not_changed_is_no_mistake()
    {
        var map = Map("humidity");
        Assert.Null(Say(map, """{"humidity":60}"""));
        for (var i = 0; i < 19; i++)
            Assert.Equal(RemarkKind.NoReading, Say(map, """{"battery":88}""")!.Value.Kind);
        Assert.Null(Say(map, """{"humidity":60}"""));
    }

    [Theory]
    [InlineData("nothing at path rh; the message has temp", "rh", true)]
    [InlineData("nothing at path rh; the message has temp", "temp", false)]
    [InlineData("nothing at path rh; the message has temp", null, false)]
    [InlineData("the message is not JSON", "temp", true)]
    public void A_missing_path_says_nothing_of_the_topics_other_series(string reason, string? path, bool mayConcern) =>
        Assert.Equal(mayConcern, PayloadMap.MayConcern(reason, path));

    [Fact]
    public void A_field_that_is_gone_for_good_is_told()
    {
        var map = Map("humidity");
        Say(map, """{"humidity":60}""");
        for (var i = 0; i < 19; i++)
            Say(map, """{"battery":88}""");
        Assert.Equal(RemarkKind.Refused, Say(map, """{"battery":88}""")!.Value.Kind);
    }
}
