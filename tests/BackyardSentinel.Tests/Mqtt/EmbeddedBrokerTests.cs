using MQTTnet;
using MQTTnet.Formatter;

namespace BackyardSentinel.Mqtt;

/// <summary>Who is let in by the broker inside the program.</summary>
public sealed class EmbeddedBrokerTests
{
    private static readonly BrokerOptions WithLogin = new()
    {
        Embedded = true,
        Port = 0,
        Username = "yard",
        Password = "rake and hoe",
    };

    private static CancellationToken Ct => TestContext.Current.CancellationToken;

    [Fact]
    public async Task To_the_home_network_it_opens_with_a_login_only()
    {
        var refusal = await Assert.ThrowsAsync<LinkException>(
            () => EmbeddedBroker.StartAsync(new BrokerOptions { Embedded = true, Port = 0, EmbeddedInNetwork = true }, null));
        Assert.Contains("without a login", refusal.Message, StringComparison.Ordinal);

        await using var open = await EmbeddedBroker.StartAsync(WithLogin with { EmbeddedInNetwork = true }, null);
        await using var shut = await EmbeddedBroker.StartAsync(WithLogin, null);
        // Another address of this computer stands for the network: 127.0.0.2 reaches what listens on all of them.
        Assert.Equal(MqttClientConnectResultCode.Success, await GreetAsync(open.Port, "yard", "rake and hoe", "127.0.0.2"));
        await Assert.ThrowsAnyAsync<Exception>(() => GreetAsync(shut.Port, "yard", "rake and hoe", "127.0.0.2"));
    }

    [Theory]
    [InlineData("yard", "rake and hoe", true)]
    [InlineData("yard", "rake and ho", false)]
    [InlineData("Yard", "rake and hoe", false)]
    [InlineData("yard", null, false)]
    [InlineData(null, null, false)]
    public async Task Whoever_has_not_the_whole_login_stays_out_and_is_told_of_once(string? user, string? password, bool isLetIn)
    {
        using var log = new LogLines();
        await using var broker = await EmbeddedBroker.StartAsync(WithLogin, log.Logger);
        for (var i = 0; i < 3; i++)
        {
            Assert.Equal(
                isLetIn ? MqttClientConnectResultCode.Success : MqttClientConnectResultCode.BadUserNameOrPassword,
                await GreetAsync(broker.Port, user, password));
        }

        var told = log.Lines.Count(line => line.Contains("has not let in a client at 127.0.0.1", StringComparison.Ordinal));
        Assert.Equal(isLetIn ? 0 : 1, told);
        Assert.DoesNotContain(log.Lines, line => line.Contains("rake", StringComparison.Ordinal));
    }

    [Theory]
    [InlineData(MqttProtocolVersion.V311)]
    [InlineData(MqttProtocolVersion.V500)]
    public async Task A_client_that_gives_no_id_is_let_in_with_the_login_and_not_without(MqttProtocolVersion version)
    {
        await using var broker = await EmbeddedBroker.StartAsync(WithLogin, null);
        Assert.Equal(MqttClientConnectResultCode.Success, await GreetAsync(broker.Port, "yard", "rake and hoe", id: "", version: version));
        Assert.NotEqual(MqttClientConnectResultCode.Success, await GreetAsync(broker.Port, null, null, id: "", version: version));
    }

    [Fact]
    public async Task The_service_itself_comes_in_by_the_same_login()
    {
        await using var broker = await EmbeddedBroker.StartAsync(WithLogin, null);
        await new BrokerVisit(WithLogin with { Port = broker.Port }).PublishAsync("sentinel/test", "{}"u8.ToArray(), Ct);
    }

    private static async Task<MqttClientConnectResultCode> GreetAsync(
        int port,
        string? user,
        string? password,
        string host = "127.0.0.1",
        string id = "spade",
        MqttProtocolVersion version = MqttProtocolVersion.V500)
    {
        using var client = new MqttClientFactory().CreateMqttClient();
        var options = new MqttClientOptionsBuilder()
            .WithProtocolVersion(version)
            .WithTcpServer(host, port)
            .WithClientId(id)
            .WithCleanStart();
        if (user is not null)
            options.WithCredentials(user, password);
        return (await client.ConnectAsync(options.Build(), Ct)).ResultCode;
    }
}
