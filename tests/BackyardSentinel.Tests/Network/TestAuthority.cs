using System.Security.Cryptography;
using System.Security.Cryptography.X509Certificates;

namespace BackyardSentinel.Network;

/// <summary>An authority made for a test, and what it has signed.</summary>
internal sealed class TestAuthority : IDisposable
{
    private static readonly DateTimeOffset Now = TimeProvider.System.GetUtcNow();
    private readonly List<X509Certificate2> _issued = [];

    public TestAuthority()
    {
        using var key = ECDsa.Create(ECCurve.NamedCurves.nistP256);
        var request = new CertificateRequest("CN=Tannery Lane test authority", key, HashAlgorithmName.SHA256);
        request.CertificateExtensions.Add(new X509BasicConstraintsExtension(true, false, 0, true));
        Certificate = request.CreateSelfSigned(Now.AddYears(-1), Now.AddYears(1));
        (Good, Expired, OfAnother) = (Issue("localhost", 30), Issue("localhost", -2), Issue("elsewhere.example", 30));
    }

    public X509Certificate2 Certificate { get; }

    public X509Certificate2 Good { get; }

    public X509Certificate2 Expired { get; }

    public X509Certificate2 OfAnother { get; }

    /// <summary>Trusts this authority and no other.</summary>
    public X509ChainPolicy Trust => new()
    {
        TrustMode = X509ChainTrustMode.CustomRootTrust,
        CustomTrustStore = { Certificate },
        RevocationMode = X509RevocationMode.NoCheck,
    };

    public X509Certificate2 Issue(string host, int daysLeft)
    {
        using var key = ECDsa.Create(ECCurve.NamedCurves.nistP256);
        var request = new CertificateRequest("CN=" + host, key, HashAlgorithmName.SHA256);
        var names = new SubjectAlternativeNameBuilder();
        names.AddDnsName(host);
        request.CertificateExtensions.Add(names.Build());
        using var issued = request.Create(Certificate, Now.AddDays(-60), Now.AddDays(daysLeft), [1, 2, (byte)_issued.Count]);
        using var withKey = issued.CopyWithPrivateKey(key);
        _issued.Add(X509CertificateLoader.LoadPkcs12(withKey.Export(X509ContentType.Pkcs12), null));
        return _issued[^1];
    }

    public void Dispose()
    {
        Certificate.Dispose();
        _issued.ForEach(one => one.Dispose());
    }
}
