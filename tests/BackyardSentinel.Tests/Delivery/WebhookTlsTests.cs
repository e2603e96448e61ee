using System.Net.Security;
using BackyardSentinel.Guards;
using BackyardSentinel.Network;

namespace BackyardSentinel.Delivery;

/// <summary>Certificates made here, judged by the runtime's own validation with our authority as the only trusted one.</summary>
public sealed class WebhookTlsTests
{
    [Theory]
    [InlineData("localhost", 30, true, null)]
    [InlineData("localhost", -2, true, "expired")]
    [InlineData("elsewhere.example", 30, true, "another host name")]
    [InlineData("localhost", 30, false, "nobody this computer trusts")]
    public async Task A_certificate_must_be_in_time_for_the_host_and_of_a_trusted_authority(
        string host,
        int daysLeft,
        bool trusted,
        string? trouble)
    {
        var ct = TestContext.Current.CancellationToken;
        using var authority = new TestAuthority();
        await using var peer = await HttpPeer.StartAsync(authority.Issue(host, daysLeft), ct: ct);
        var handler = PublicAddress.Handler(allowPrivate: true);
        if (trusted)
            handler.SslOptions = new SslClientAuthenticationOptions { CertificateChainPolicy = authority.Trust };

        using var http = new HttpMessageInvoker(handler);
        Assert.True(
            WebhookReceiver.TryCreate(
                new ReceiverSettings { Id = "phone", Url = peer.Url.AbsoluteUri },
                http,
                TimeProvider.System,
                () => true,
                out var receiver,
                out _));
        var result = await receiver!.SendAsync(Some.Alert("a"), ct);

        if (trouble is null)
        {
            Assert.IsType<DeliveryResult.Delivered>(result);
            return;
        }

        Assert.Contains(trouble, Assert.IsType<DeliveryResult.RetryLater>(result).Reason, StringComparison.Ordinal);
        Assert.Empty(peer.Requests);
    }
}
