using System.Net.Security;
using System.Security.Cryptography;
using System.Security.Cryptography.X509Certificates;
using BackyardSentinel.Guards;

namespace BackyardSentinel.Delivery;

/// <summary>Certificates made here, judged by the runtime's own validation with our authority as the only trusted one.</summary>
public sealed class WebhookTlsTests
{
    private static readonly DateTimeOffset Now = TimeProvider.System.GetUtcNow();

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
        using var authority = Authority();
        using var certificate = Issue(authority, host, daysLeft);
        await using var peer = await HttpPeer.StartAsync(certificate, ct: ct);
        var handler = PublicAddress.Handler(allowPrivate: true);
        if (trusted)
        {
            handler.SslOptions = new SslClientAuthenticationOptions
            {
                CertificateChainPolicy = new X509ChainPolicy
                {
                    TrustMode = X509ChainTrustMode.CustomRootTrust,
                    CustomTrustStore = { authority },
                    RevocationMode = X509RevocationMode.NoCheck,
                },
            };
        }

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

    private static X509Certificate2 Authority()
    {
        using var key = ECDsa.Create(ECCurve.NamedCurves.nistP256);
        var request = new CertificateRequest("CN=Tannery Lane test authority", key, HashAlgorithmName.SHA256);
        request.CertificateExtensions.Add(new X509BasicConstraintsExtension(true, false, 0, true));
        return request.CreateSelfSigned(Now.AddYears(-1), Now.AddYears(1));
    }

    private static X509Certificate2 Issue(X509Certificate2 authority, string host, int daysLeft)
    {
        using var key = ECDsa.Create(ECCurve.NamedCurves.nistP256);
        var request = new CertificateRequest("CN=" + host, key, HashAlgorithmName.SHA256);
        var names = new SubjectAlternativeNameBuilder();
        names.AddDnsName(host);
        request.CertificateExtensions.Add(names.Build());
        using var issued = request.Create(authority, Now.AddDays(-60), Now.AddDays(daysLeft), [1, 2, 3]);
        using var withKey = issued.CopyWithPrivateKey(key);
        return X509CertificateLoader.LoadPkcs12(withKey.Export(X509ContentType.Pkcs12), null);
    }
}
