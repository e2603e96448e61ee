using System.Security.Cryptography;
using System.Security.Cryptography.X509Certificates;
using System.Text;
using BackyardSentinel.Guards;
using BackyardSentinel.Wording;

namespace BackyardSentinel.Mqtt;

/// <summary>The file of the authorities by whom a broker's certificate may be signed.</summary>
public static class CaFile
{
    /// <summary>A system's whole set of authorities is some 250 kB.</summary>
    private const int Largest = 1024 * 1024;

    /// <summary>The certificates in it; at least one.</summary>
    /// <param name="file">The file, in PEM.</param>
    /// <exception cref="LinkException">The file cannot be had or holds none.</exception>
    public static X509Certificate2Collection Authorities(string file)
    {
        if (!OrdinaryFile.TryRead(file, Largest, out var pem, out var reason))
            throw new LinkException($"The broker's authority, named by ca_file in the garden file, cannot be had: {reason!}.");
        var authorities = new X509Certificate2Collection();
        var text = Encoding.UTF8.GetString(pem!).TrimStart('\uFEFF');
        try
        {
            authorities.ImportFromPem(text);
        }
        catch (CryptographicException)
        {
            // Told below: nothing was found in it.
        }

        // Without one the system's authorities would be trusted, which is not what was asked for.
        if (authorities.Count > 0)
            return authorities;
        throw new LinkException(
            text.Contains("BEGIN CERTIFICATE", StringComparison.Ordinal)
                ? (Sentence)($"The certificate in {new Name(file)}, named by ca_file in the garden file, is damaged or cut off. "
                    + $"Copy it again.")
                : $"There is no certificate in {new Name(file)}, named by ca_file in the garden file. It must be a PEM file, "
                    + $"with a line BEGIN CERTIFICATE.");
    }
}
