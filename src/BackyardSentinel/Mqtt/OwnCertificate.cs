using System.Security.Cryptography;
using System.Security.Cryptography.X509Certificates;
using System.Text;
using BackyardSentinel.Guards;
using BackyardSentinel.Wording;

namespace BackyardSentinel.Mqtt;

/// <summary>The certificate by which we show a broker who we are.</summary>
public static class OwnCertificate
{
    /// <summary>A certificate with those that lead to its authority, or a key, is a few kilobytes.</summary>
    private const int LargestFile = 64 * 1024;

    /// <summary>Our certificate with its key; <c>null</c>: the garden file names none.</summary>
    /// <param name="broker">The broker.</param>
    /// <exception cref="LinkException">One of the files cannot be had, or they are no certificate and its key.</exception>
    public static X509Certificate2? Of(BrokerOptions broker)
    {
        ArgumentNullException.ThrowIfNull(broker);
        if (broker is not { CertificateFile: { } certificate, KeyFile: { } key })
            return null;
        var (shown, kept) = (Text(certificate, "certificate_file"), Text(key, "key_file"));
        try
        {
            return X509Certificate2.CreateFromPem(shown, kept);
        }
        catch (Exception fault) when (fault is CryptographicException or ArgumentException)
        {
            throw new LinkException(
                kept.Contains("ENCRYPTED", StringComparison.Ordinal)
                    ? (Sentence)($"The key in {new Name(key)}, named by key_file in the garden file, is locked with a password, which "
                        + $"the service cannot be "
                        + $"asked for. Give it one without, readable for the service alone.")
                    : $"{new Name(certificate)} and {new Name(key)}, named by certificate_file and key_file in the garden file, are no "
                        + $"certificate and the key "
                        + $"that belongs to it. Both must be PEM files, with a line BEGIN CERTIFICATE and a line BEGIN PRIVATE KEY.");
        }
    }

    private static string Text(string file, string name) =>
        OrdinaryFile.TryRead(file, LargestFile, out var bytes, out var reason)
            ? Encoding.UTF8.GetString(bytes!).TrimStart('\uFEFF')
            : throw new LinkException(
                $"Our own certificate for the broker, {new Name(name)} in the garden file, cannot be had: {reason!}.");
}
