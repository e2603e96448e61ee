namespace BackyardSentinel.Tests.Mqtt;

public class InDoubtTests
{
    private readonly InDoubt _inDoubt = new();

    [Fact]
    public void A_copy_over_the_next_connection_is_the_message_itself_and_only_once()
    {
        var original = Came("garden/rain", "0.2");
        _inDoubt.ConnectionLost();

        Assert.Same(original, Take("garden/rain", "0.2"));
        // A second copy is a message of its own: two tips of 0.2 mm look alike.
        Assert.Null(Take("garden/rain", "0.2"));
    }

    [Theory]
    [InlineData("garden/rain", "0.3")]
    [InlineData("garden/rain", "0.20")]
    [InlineData("garden/rain", "0.")]
    [InlineData("garden/Rain", "0.2")]
    [InlineData("garden/rain/2", "0.2")]
    public void Another_topic_or_another_payload_is_another_message(string topic, string payload)
    {
        Came("garden/rain", "0.2");
        _inDoubt.ConnectionLost();

        Assert.Null(Take(topic, payload));
        Assert.NotNull(Take("garden/rain", "0.2"));
    }

    [Fact]
    public void Alike_messages_are_found_in_the_order_in_which_they_came()
    {
        var (first, second) = (Came("garden/rain", "0.2"), Came("garden/rain", "0.2"));
        _inDoubt.ConnectionLost();

        var found = new[] { Take("garden/rain", "0.2"), Take("garden/rain", "0.2") };

        Assert.Equal(new[] { first, second }.ToHashSet<object?>(), found.ToHashSet<object?>());
    }

    [Fact]
    public void Nothing_is_in_doubt_while_the_connection_holds_or_once_it_is_acknowledged()
    {
        var safe = Came("garden/rain", "0.2");
        Assert.Null(Take("garden/rain", "0.2"));

        _inDoubt.Remove(safe);
        Assert.True(_inDoubt.IsClear);
        _inDoubt.ConnectionLost();
        Assert.Null(Take("garden/rain", "0.2"));
    }

    [Fact]
    public void What_was_found_again_waits_for_its_acknowledgement_and_may_be_lost_again()
    {
        var original = Came("garden/rain", "0.2");
        _inDoubt.ConnectionLost();
        Assert.True(_inDoubt.IsClear);

        Take("garden/rain", "0.2");
        Assert.False(_inDoubt.IsClear);
        _inDoubt.ConnectionLost();

        Assert.Same(original, Take("garden/rain", "0.2"));
    }

    [Fact]
    public void A_broker_that_has_forgotten_the_session_sends_nothing_again()
    {
        Came("garden/rain", "0.2");
        _inDoubt.ConnectionLost();
        _inDoubt.SessionForgotten();

        Assert.Null(Take("garden/rain", "0.2"));
    }

    private ArrivedMessage Came(string topic, string payload)
    {
        var message = new ArrivedMessage(topic, Encoding.UTF8.GetBytes(payload));
        _inDoubt.Add(message);
        return message;
    }

    private ArrivedMessage? Take(string topic, string payload) => _inDoubt.TakeOriginal(topic, Encoding.UTF8.GetBytes(payload));
}
