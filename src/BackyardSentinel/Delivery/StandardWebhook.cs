using System.Globalization;
using System.Security.Cryptography;
using System.Text;

namespace BackyardSentinel.Delivery;

/// <summary>
/// Signs requests by the Standard Webhooks specification 1.0: HMAC-SHA256 over <c>id.timestamp.body</c>, so that the
/// receiver can tell that a message is ours, unchanged and fresh.
/// </summary>
public static class StandardWebhook
{
    private const string Prefix = "whsec_";

    /// <summary>The value of the header <c>webhook-signature</c>.</summary>
    /// <param name="id">The value of <c>webhook-id</c>; without a full stop.</param>
    /// <param name="timestamp">The value of <c>webhook-timestamp</c>: the attempt's time, s since 1970 UTC.</param>
    /// <param name="body">The very bytes that are sent.</param>
    /// <param name="secret">The secret; <see cref="IsSecret"/> holds.</param>
    public static string Sign(string id, long timestamp, ReadOnlySpan<byte> body, string secret)
    {
        ArgumentNullException.ThrowIfNull(id);
        if (id.Contains('.', StringComparison.Ordinal))
            throw new ArgumentException("The id has a full stop, so the signed text could be read in two ways.", nameof(id));
        var key = Key(secret) ?? throw new ArgumentException("The secret is not whsec_ and base64.", nameof(secret));
        var head = Encoding.UTF8.GetBytes(string.Create(CultureInfo.InvariantCulture, $"{id}.{timestamp}."));
        byte[] signed = [.. head, .. body];
        return "v1," + Convert.ToBase64String(HMACSHA256.HashData(key, signed));
    }

    /// <summary>The text is a secret: base64 of 24 to 64 bytes, with <c>whsec_</c> before it.</summary>
    /// <param name="secret">The text.</param>
    public static bool IsSecret(string secret) => Key(secret) is { Length: >= 24 and <= 64 };

    private static byte[]? Key(string secret)
    {
        ArgumentNullException.ThrowIfNull(secret);
        if (!secret.StartsWith(Prefix, StringComparison.Ordinal)) return null;
        var bytes = new byte[secret.Length];
        return Convert.TryFromBase64String(secret[Prefix.Length..], bytes, out var length) ? bytes[..length] : null;
    }
}
