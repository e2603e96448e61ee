using System.Net.Security;
using System.Security.Cryptography.X509Certificates;
using BackyardSentinel.Wording;
using MQTTnet;

namespace BackyardSentinel.Mqtt;

/// <summary>
/// Judges a broker's certificate exactly as the runtime does, and keeps in words what was wrong with it: the runtime itself
/// only says that it was refused.
/// </summary>
internal sealed class BrokerCertificate(BrokerOptions broker)
{
    private const X509ChainStatusFlags Strangers = X509ChainStatusFlags.UntrustedRoot | X509ChainStatusFlags.PartialChain;

    /// <summary>What is wrong with the certificate, without a full stop; <c>null</c>: nothing, or none was shown.</summary>
    public Sentence? Fault { get; private set; }

    /// <summary>One was shown, and nothing is wrong with it.</summary>
    public bool IsTaken { get; private set; }

    /// <summary>When the first of its chain expires, UTC; <c>null</c>: none was shown.</summary>
    public DateTimeOffset? ValidUntil { get; private set; }

    /// <summary>Whether it is taken.</summary>
    public bool IsGood(MqttClientCertificateValidationEventArgs shown)
    {
        if (!shown.SslPolicyErrors.HasFlag(SslPolicyErrors.RemoteCertificateNotAvailable))
            ValidUntil = new DateTimeOffset(shown.Chain.ChainElements.Min(element => element.Certificate.NotAfter.ToUniversalTime()));

        if (shown.SslPolicyErrors == SslPolicyErrors.None)
            return IsTaken = true;
        List<Sentence> faults = [];
        if (shown.SslPolicyErrors.HasFlag(SslPolicyErrors.RemoteCertificateNotAvailable))
            faults.Add($"it shows none");
        if (shown.SslPolicyErrors.HasFlag(SslPolicyErrors.RemoteCertificateChainErrors))
            faults.AddRange(Chain(shown.Chain));
        if (shown.SslPolicyErrors.HasFlag(SslPolicyErrors.RemoteCertificateNameMismatch))
            faults.Add(WrongName(shown.Certificate as X509Certificate2));
        Fault = Sentence.Joined("; ", faults);
        return false;
    }

    private IEnumerable<Sentence> Chain(X509Chain chain)
    {
        var all = chain.ChainStatus.Aggregate(X509ChainStatusFlags.NoError, (sum, one) => sum | one.Status);
        if ((all & Strangers) != 0)
        {
            yield return broker.CaFile is { } file
                ? Stranger(file, chain)
                : $"it was signed by an authority that this computer does not know. "
                    + $"Name that authority's certificate by ca_file in the garden file";
        }

        foreach (var element in chain.ChainElements)
        {
            if (element.ChainElementStatus.All(one => one.Status != X509ChainStatusFlags.NotTimeValid)) continue;
            var certificate = element.Certificate;
            var (from, to) = (Day(certificate.NotBefore), Day(certificate.NotAfter));
            var (isOwn, isEarly) = (element == chain.ChainElements[0], certificate.NotBefore > TimeProvider.System.GetLocalNow());
            yield return (isOwn, isEarly) switch
            {
                (true, false) => (Sentence)($"it is valid from {from} to {to} only. It has expired, or this computer's clock is wrong: "
                    + $"renew the one or set the other"),
                (false, false) => $"that of its authority is valid from {from} to {to} only. It has expired, or this computer's clock is "
                    + $"wrong: renew the one or set the other",
                (true, true) => $"it is not valid before {from}. This computer's clock is slow, or that of the computer where it was "
                    + $"made was fast: set the one, or make it anew",
                (false, true) => $"that of its authority is not valid before {from}. This computer's clock is slow, or that of the "
                    + $"computer where it was made was fast: set the one, or make it anew",
            };
        }

        if (all.HasFlag(X509ChainStatusFlags.NotValidForUsage))
            yield return $"it was not made for a server. Have one made whose extended key usage names servers (serverAuth), or none";
        if (all.HasFlag(X509ChainStatusFlags.InvalidBasicConstraints))
            yield return $"one that signed it is no authority (CA:TRUE). Have it signed by the authority itself";
        const X509ChainStatusFlags Told = Strangers | X509ChainStatusFlags.NotTimeValid | X509ChainStatusFlags.NotValidForUsage
            | X509ChainStatusFlags.InvalidBasicConstraints;
        if ((all & ~Told) is var others && others != 0)
            yield return $"its chain of signatures is not sound ({new English(others.ToString())})";
    }

    private static Sentence Stranger(string file, X509Chain chain)
    {
        var held = CaFile.Authorities(file);
        return chain.ChainElements.Skip(1).Any(element => held.Contains(element.Certificate))
            ? (Sentence)($"{new Name(file)} holds an authority in between only, whose own certificate another one signed. "
                + $"Put that one's certificate, the root, into the file too")
            : $"no authority in {new Name(file)} has signed it: that was {new Name(Signer(chain))}. Put the certificate of that one into "
                + $"the file, and of each above it; or, where it stands in between, let the broker show it too (mosquitto: certfile)";
    }

    /// <summary>Who signed the last certificate of a chain, by the name that its makers gave it.</summary>
    private static string Signer(X509Chain chain)
    {
        var last = chain.ChainElements[^1].Certificate;
        return last.GetNameInfo(X509NameType.SimpleName, forIssuer: true) is { Length: > 0 } name ? name : last.Issuer;
    }

    private static LocalTime Day(DateTime at) => new(at.ToUniversalTime(), TimeForm.Written);

    private Sentence WrongName(X509Certificate2? certificate)
    {
        var names = certificate?.Extensions.OfType<X509SubjectAlternativeNameExtension>().FirstOrDefault() is { } others
            ? others.EnumerateDnsNames().Concat(others.EnumerateIPAddresses().Select(address => address.ToString())).Take(5).ToList()
            : [];
        return names.Exists(name => !name.StartsWith('*'))
            ? (Sentence)($"it is made out for {Sentence.Names(names)} and not for {new Name(broker.Host)}. "
                + $"Write that name as host in the garden file, or have the certificate made out for {new Name(broker.Host)}")
            : names.Count > 0
            ? (Sentence)$"it is made out for {Sentence.Names(names)} and not for {new Name(broker.Host)}. Have it made out for that name"
            : $"it is not made out for {new Name(broker.Host)}. Have it made out for that name";
    }
}
