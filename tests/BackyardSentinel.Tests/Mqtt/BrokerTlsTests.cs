using System.Net;
using System.Net.Sockets;
using System.Security.Cryptography;
using System.Security.Cryptography.X509Certificates;

namespace BackyardSentinel.Mqtt;

/// <summary>Certificates made here, shown by a real broker, judged by the runtime: each refusal says which it is.</summary>
public sealed class BrokerTlsTests : IDisposable
{
    private static readonly DateTimeOffset Now = TimeProvider.System.GetUtcNow();
    private readonly string _folder = Directory.CreateTempSubdirectory("sentinel-tls").FullName;

    public void Dispose() => Directory.Delete(_folder, true);

    [Theory]
    [InlineData("localhost", 30, "ours", null)]
    [InlineData("localhost", 30, null, "an authority that this computer does not know. Name that authority's certificate by ca_file")]
    [InlineData("localhost", 30, "another", "no authority in ")]
    [InlineData("elsewhere.example", 30, "ours", "it is made out for elsewhere.example and not for localhost")]
    [InlineData("localhost", -2, "ours", "It has expired, or this computer's clock is wrong")]
    public async Task A_certificate_that_is_refused_is_told_with_the_reason(string host, int daysLeft, string? trusted, string? reason)
    {
        using var ours = Authority("ours");
        using var another = Authority("another");
        Write("ours.pem", ours.ExportCertificatePem());
        Write("another.pem", another.ExportCertificatePem());
        var (certificate, key) = Issue(ours, host, daysLeft);
        var failure = await VisitAsync(certificate, key, trusted is null ? null : Path.Combine(_folder, trusted + ".pem"));
        if (reason is null)
            Assert.Null(failure);
        else
            Assert.Contains(reason, failure, StringComparison.Ordinal);
    }

    [Fact]
    public async Task When_the_first_certificate_of_the_chain_expires_is_known_after_a_visit()
    {
        using var ours = Authority("ours");
        var (certificate, key) = Issue(ours, "localhost", daysLeft: 5);
        using var broker = await Mosquitto.StartAsync(
            $"certfile {Write("broker.pem", certificate)}\nkeyfile {Write("broker.key", key)}\n");
        var visit = new BrokerVisit(
            new BrokerOptions
            {
                Host = "localhost",
                Port = broker.Port,
                Tls = true,
                CaFile = Write("ours.pem", ours.ExportCertificatePem()),
            });
        await visit.PublishAsync("sentinel/test", "{}"u8.ToArray(), TestContext.Current.CancellationToken);

        Assert.InRange(visit.CertificateUntil!.Value, Now.AddDays(5).AddSeconds(-1), Now.AddDays(5));
    }

    [Fact]
    public async Task A_certificate_that_the_broker_signed_itself_is_told_as_that_of_a_stranger_and_taken_where_it_is_named()
    {
        using var self = Authority("itself", "localhost");
        var (certificate, key) = (self.ExportCertificatePem(), self.GetECDsaPrivateKey()!.ExportPkcs8PrivateKeyPem());
        Assert.Contains("does not know", await VisitAsync(certificate, key, null), StringComparison.Ordinal);
        Assert.Null(await VisitAsync(certificate, key, Write("itself.pem", certificate)));
    }

    /// <summary>RFC 5280, 6.1: an authority may have another one sign for it.</summary>
    [Theory]
    [InlineData(true)]
    [InlineData(false)]
    public async Task A_certificate_with_an_authority_between_is_taken_whoever_shows_that_one(bool isShown)
    {
        using var ours = Authority("ours");
        using var between = Between(ours);
        var (certificate, leafKey) = Issue(between, "localhost", 30);
        var (one, two) = (ours.ExportCertificatePem(), between.ExportCertificatePem());

        Assert.Null(
            isShown
                ? await VisitAsync($"{certificate}\n{two}\n", leafKey, Write("ours.pem", one))
                : await VisitAsync(certificate, leafKey, Write("ours.pem", $"{one}\n{two}\n")));
    }

    [Fact]
    public async Task A_file_with_the_authority_between_alone_is_told_as_that()
    {
        using var ours = Authority("ours");
        using var between = Between(ours);
        var (certificate, key) = Issue(between, "localhost", 30);
        Assert.Contains(
            "holds an authority in between only",
            await VisitAsync(certificate, key, Write("between.pem", between.ExportCertificatePem())),
            StringComparison.Ordinal);
    }

    /// <summary>A small computer without a battery for its clock begins in the past.</summary>
    [Fact]
    public async Task A_certificate_that_is_not_valid_yet_is_not_told_as_one_that_has_expired()
    {
        using var ours = Authority("ours");
        var (certificate, key) = Issue(ours, "localhost", daysLeft: 30, daysOld: -2);
        var failure = await VisitAsync(certificate, key, Write("ours.pem", ours.ExportCertificatePem()));
        Assert.Contains("it is not valid before ", failure, StringComparison.Ordinal);
        Assert.DoesNotContain("expired", failure, StringComparison.Ordinal);
    }

    /// <summary>MQTT 3.1.1, 3.2.2.3: return code 1, of a broker that knows no later version.</summary>
    [Fact]
    public async Task A_broker_of_an_older_version_is_told_as_that()
    {
        using var listener = new TcpListener(IPAddress.Loopback, 0);
        listener.Start();
        var serving = ServeAsync();
        Assert.Contains(
            "does not speak MQTT 5",
            await VisitAsync(new BrokerOptions { Port = ((IPEndPoint)listener.LocalEndpoint).Port }),
            StringComparison.Ordinal);
        await serving;

        async Task ServeAsync()
        {
            using var client = await listener.AcceptTcpClientAsync();
            await client.GetStream().ReadExactlyAsync(new byte[2]);
            await client.GetStream().WriteAsync(new byte[] { 0x20, 2, 0, 1 });
        }
    }

    [Theory]
    [InlineData(null, 30, "lets in only clients that show a certificate of their own")]
    [InlineData("ours", 30, null)]
    [InlineData("ours", -2, "does not take our certificate in ")]
    [InlineData("another", 30, "does not take our certificate in ")]
    public async Task A_broker_that_lets_in_by_certificate_takes_ours_or_says_why_not(string? signedBy, int daysLeft, string? reason)
    {
        using var ours = Authority("ours");
        using var another = Authority("another");
        var (certificate, key) = Issue(ours, "localhost", 30);
        var authority = Write("ours.pem", ours.ExportCertificatePem());
        using var broker = await Mosquitto.StartAsync(
            $"cafile {authority}\ncertfile {Write("broker.pem", certificate)}\nkeyfile {Write("broker.key", key)}\n"
                + "require_certificate true\nuse_identity_as_username true\n");
        var options = new BrokerOptions { Host = "localhost", Port = broker.Port, Tls = true, CaFile = authority };
        if (signedBy is not null)
        {
            var (shown, kept) = Issue(signedBy == "ours" ? ours : another, "sentinel", daysLeft);
            options = options with { CertificateFile = Write("own.pem", shown), KeyFile = Write("own.key", kept) };
        }

        var failure = await VisitAsync(options);
        if (reason is null)
            Assert.Null(failure);
        else
            Assert.Contains(reason, failure, StringComparison.Ordinal);
    }

    /// <summary>The broker has a list of what its authority has taken back (RFC 5280, section 5).</summary>
    [Theory]
    [InlineData(true, "does not take our certificate in ")]
    [InlineData(false, null)]
    public async Task A_certificate_of_ours_that_was_revoked_is_not_taken_and_that_is_told(bool isOurs, string? reason)
    {
        using var authority = Authority("ours");
        var file = Write("ours.pem", authority.ExportCertificatePem());
        var (certificate, key) = Issue(authority, "localhost", 30);
        var (shown, kept) = Issue(authority, "sentinel", 30);
        var revoked = new CertificateRevocationListBuilder();
        using (var own = X509Certificate2.CreateFromPem(shown))
            revoked.AddEntry(isOurs ? own.SerialNumberBytes.ToArray() : [9, 9]);
        var list = PemEncoding.WriteString("X509 CRL", revoked.Build(authority, 1, Now.AddDays(7), HashAlgorithmName.SHA256));
        using var broker = await Mosquitto.StartAsync(
            $"cafile {file}\ncertfile {Write("broker.pem", certificate)}\nkeyfile {Write("broker.key", key)}\n"
                + $"require_certificate true\nuse_identity_as_username true\ncrlfile {Write("revoked.pem", list)}\n");
        var failure = await VisitAsync(
            new BrokerOptions
            {
                Host = "localhost",
                Port = broker.Port,
                Tls = true,
                CaFile = file,
                CertificateFile = Write("own.pem", shown),
                KeyFile = Write("own.key", kept),
            });
        if (reason is null)
            Assert.Null(failure);
        else
            Assert.Contains(reason, failure, StringComparison.Ordinal);
    }

    [Fact]
    public void Files_that_are_no_certificate_and_its_key_are_told_before_a_broker_is_asked()
    {
        using var ours = Authority("ours");
        var (certificate, key) = Issue(ours, "sentinel", 30);
        var (_, foreign) = Issue(ours, "sentinel", 30);
        using var locked = ECDsa.Create(ECCurve.NamedCurves.nistP256);
        var lockedKey = locked.ExportEncryptedPkcs8PrivateKeyPem(
            "word",
            new PbeParameters(PbeEncryptionAlgorithm.Aes256Cbc, HashAlgorithmName.SHA256, 1));
        Assert.Contains("key_file in the garden file, cannot be had: there is no file", Said(certificate, null), StringComparison.Ordinal);
        Assert.Contains("no certificate and the key that belongs to it", Said(certificate, foreign), StringComparison.Ordinal);
        Assert.Contains("no certificate and the key that belongs to it", Said("hello", key), StringComparison.Ordinal);
        Assert.Contains("locked with a password", Said(certificate, lockedKey), StringComparison.Ordinal);

        string Said(string shown, string? kept) => Assert.Throws<LinkException>(
            () => OwnCertificate.Of(
                new BrokerOptions
                {
                    CertificateFile = Write("own.pem", shown),
                    KeyFile = kept is null ? Path.Combine(_folder, "none.key") : Write("own.key", kept),
                })).Message;
    }

    [Fact]
    public async Task Several_faults_are_told_together()
    {
        using var ours = Authority("ours");
        var (certificate, key) = Issue(ours, "elsewhere.example", -2);
        var failure = await VisitAsync(certificate, key, null);
        Assert.Contains("does not know", failure, StringComparison.Ordinal);
        Assert.Contains("expired", failure, StringComparison.Ordinal);
        Assert.Contains("elsewhere.example", failure, StringComparison.Ordinal);
    }

    [Fact]
    public async Task Encryption_asked_of_a_plain_broker_is_told_as_that()
    {
        using var broker = await Mosquitto.StartAsync();
        Assert.Contains(
            "does not speak TLS",
            await VisitAsync(
                new BrokerOptions
                {
                    Host = "localhost",
                    Port = broker.Port,
                    Tls = true,
                }),
            StringComparison.Ordinal);
    }

    [Fact]
    public async Task A_plain_greeting_to_an_encrypted_broker_is_told_as_that()
    {
        using var ours = Authority("ours");
        var (certificate, key) = Issue(ours, "localhost", 30);
        using var broker = await Mosquitto.StartAsync(
            $"certfile {Write("broker.pem", certificate)}\nkeyfile {Write("broker.key", key)}\n");
        Assert.Contains(
            "set tls: true",
            await VisitAsync(new BrokerOptions { Host = "localhost", Port = broker.Port }),
            StringComparison.Ordinal);
    }

    [Theory]
    [InlineData("HTTP/1.1 400 Bad Request\r\nContent-Length: 0\r\n\r\n", false, "Is it an MQTT broker")]
    [InlineData("SSH-2.0-OpenSSH\r\n", false, "Is it an MQTT broker")]
    [InlineData("HTTP/1.1 400 Bad Request\r\n\r\n", true, "does not speak TLS")]
    public async Task Another_kind_of_server_is_told_as_that(string answer, bool tls, string reason)
    {
        using var listener = new TcpListener(IPAddress.Loopback, 0);
        listener.Start();
        var serving = ServeAsync();
        Assert.Contains(
            reason,
            await VisitAsync(new BrokerOptions { Port = ((IPEndPoint)listener.LocalEndpoint).Port, Tls = tls }),
            StringComparison.Ordinal);
        await serving;

        async Task ServeAsync()
        {
            using var client = await listener.AcceptTcpClientAsync();
            var stream = client.GetStream();
            await stream.ReadExactlyAsync(new byte[2]);
            await stream.WriteAsync(System.Text.Encoding.ASCII.GetBytes(answer));
        }
    }

    [Fact]
    public async Task A_port_where_nothing_listens_and_a_name_that_is_none_are_told_apart()
    {
        using var probe = new TcpListener(IPAddress.Loopback, 0);
        probe.Start();
        var port = ((IPEndPoint)probe.LocalEndpoint).Port;
        probe.Stop();
        Assert.Contains("refuses the connection", await VisitAsync(new BrokerOptions { Port = port }), StringComparison.Ordinal);
        Assert.Contains(
            "cannot be looked up",
            await VisitAsync(new BrokerOptions { Host = "no-such-host.invalid", Port = port }),
            StringComparison.Ordinal);
    }

    [Theory]
    [InlineData("", "is empty or no ordinary file")]
    [InlineData("hello", "There is no certificate in ")]
    public async Task A_file_of_no_authority_is_told_and_never_makes_way_for_those_of_the_system(string content, string reason) =>
        Assert.Contains(
            reason,
            await VisitAsync(new BrokerOptions { Tls = true, CaFile = Write("ca.pem", content) }),
            StringComparison.Ordinal);

    [Fact]
    public async Task An_endless_file_of_an_authority_is_told_at_once()
    {
        Assert.SkipUnless(File.Exists("/dev/zero"), "There is no /dev/zero on this system.");
        Assert.Contains(
            "no ordinary file",
            await VisitAsync(new BrokerOptions { Tls = true, CaFile = "/dev/zero" }),
            StringComparison.Ordinal);
    }

    /// <summary>What a visit to a broker with this certificate fails of; <c>null</c>: of nothing.</summary>
    private async Task<string?> VisitAsync(string certificate, string key, string? caFile)
    {
        using var broker = await Mosquitto.StartAsync(
            $"certfile {Write("broker.pem", certificate)}\nkeyfile {Write("broker.key", key)}\n");
        return await VisitAsync(new BrokerOptions { Host = "localhost", Port = broker.Port, Tls = true, CaFile = caFile });
    }

    private static async Task<string?> VisitAsync(BrokerOptions broker)
    {
        try
        {
            await new BrokerVisit(broker).PublishAsync("sentinel/test", "{}"u8.ToArray(), TestContext.Current.CancellationToken);
            return null;
        }
        catch (LinkException failure)
        {
            return failure.Message;
        }
    }

    private string Write(string name, string text)
    {
        var path = Path.Combine(_folder, name);
        File.WriteAllText(path, text);
        return path;
    }

    private static X509Certificate2 Authority(string name, string? host = null)
    {
        using var key = ECDsa.Create(ECCurve.NamedCurves.nistP256);
        var request = new CertificateRequest($"CN=Tannery Lane test authority {name}", key, HashAlgorithmName.SHA256);
        request.CertificateExtensions.Add(new X509BasicConstraintsExtension(true, host is not null, 0, true));
        request.CertificateExtensions.Add(new X509SubjectKeyIdentifierExtension(request.PublicKey, false));
        if (host is not null)
            request.CertificateExtensions.Add(NameOf(host));
        return request.CreateSelfSigned(Now.AddYears(-1), Now.AddYears(1));
    }

    private static X509Certificate2 Between(X509Certificate2 authority)
    {
        using var key = ECDsa.Create(ECCurve.NamedCurves.nistP256);
        var request = new CertificateRequest("CN=Tannery Lane test authority between", key, HashAlgorithmName.SHA256);
        request.CertificateExtensions.Add(new X509BasicConstraintsExtension(true, true, 0, true));
        request.CertificateExtensions.Add(new X509SubjectKeyIdentifierExtension(request.PublicKey, false));
        using var signed = request.Create(authority, Now.AddDays(-90), Now.AddDays(90), [7]);
        return signed.CopyWithPrivateKey(key);
    }

    private static (string Certificate, string Key) Issue(X509Certificate2 authority, string host, int daysLeft, int daysOld = 60)
    {
        using var key = ECDsa.Create(ECCurve.NamedCurves.nistP256);
        var request = new CertificateRequest("CN=" + host, key, HashAlgorithmName.SHA256);
        request.CertificateExtensions.Add(NameOf(host));
        using var issued = request.Create(authority, Now.AddDays(-daysOld), Now.AddDays(daysLeft), [1, 2, 3]);
        return (issued.ExportCertificatePem(), key.ExportPkcs8PrivateKeyPem());
    }

    private static X509Extension NameOf(string host)
    {
        var names = new SubjectAlternativeNameBuilder();
        names.AddDnsName(host);
        return names.Build();
    }
}
