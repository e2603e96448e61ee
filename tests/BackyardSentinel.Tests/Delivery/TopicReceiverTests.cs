using BackyardSentinel.Contract;

namespace BackyardSentinel.Delivery;

public sealed class TopicReceiverTests
{
    private static CancellationToken Ct => TestContext.Current.CancellationToken;

    [Fact]
    public async Task The_alert_is_published_under_its_id()
    {
        (string Topic, string Json) sent = ("", "");
        var receiver = new TopicReceiver("hub", "sentinel", (topic, payload, _) =>
        {
            sent = (topic, Encoding.UTF8.GetString(payload.Span));
            return Task.CompletedTask;
        });
        Assert.IsType<DeliveryResult.Delivered>(await receiver.SendAsync(Some.Alert("white-peach-likely"), Ct));
        Assert.Equal("sentinel/alert/white-peach-likely", sent.Topic);
        Assert.Equal("white-peach-likely", AlertJson.Read(sent.Json)?.Id);
    }

    [Fact]
    public async Task A_topic_holds_no_wildcard_and_no_further_level()
    {
        var topic = "";
        var receiver = new TopicReceiver("hub", "sentinel", (to, _, _) =>
        {
            topic = to;
            return Task.CompletedTask;
        });
        await receiver.SendAsync(Some.Alert("a/+/#"), Ct);
        // MQTT 5, 4.7.1: + and # must not be in a topic that is published to.
        Assert.Equal("sentinel/alert/a----", topic);
    }

    [Fact]
    public async Task A_link_that_is_down_is_tried_later()
    {
        var receiver = new TopicReceiver("hub", "sentinel", (_, _, _) => throw new InvalidOperationException("The link is down."));
        Assert.Contains(
            "The link is down.",
            Assert.IsType<DeliveryResult.RetryLater>(await receiver.SendAsync(Some.Alert("a"), Ct)).Reason,
            StringComparison.Ordinal);
    }

    [Fact]
    public async Task A_dry_run_writes_out_what_would_be_sent()
    {
        using var output = new StringWriter();
        Assert.IsType<DeliveryResult.Delivered>(await new DryRunReceiver("dry", output).SendAsync(Some.Alert("a"), Ct));
        Assert.Equal("[dry, high, a]\nSouth wall: likely\nWet since 20:10.\n13.6 mm \"so far\".\n\n", output.ToString());
    }
}
