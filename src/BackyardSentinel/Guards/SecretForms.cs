using System.Text;

namespace BackyardSentinel.Guards;

/// <summary>The forms in which servers repeat a secret that they were sent, other than as it is.</summary>
internal static class SecretForms
{
    /// <summary>A shorter text in base64 is found in anything.</summary>
    private const int Shortest = 6;

    /// <summary>
    /// In base64, plain and as in addresses (RFC 4648, 4 and 5), wherever the secret begins within what was packed: the letters that are
    /// its alone. And in hexadecimal.
    /// </summary>
    /// <param name="secret">The secret.</param>
    public static IEnumerable<string> Packed(string secret)
    {
        var bytes = Encoding.UTF8.GetBytes(secret);
        if (bytes.Length < Shortest)
            yield break;
        yield return Convert.ToHexString(bytes);
        for (var before = 0; before < 3; before++)
        {
            // A letter holds 6 bits: the first ones are shared with what stands before, the last one with what stands behind.
            var packed = Convert.ToBase64String([.. new byte[before], .. bytes]).TrimEnd('=');
            var alone = packed[(before == 0 ? 0 : before + 1)..^((before + bytes.Length) % 3 == 0 ? 0 : 1)];
            yield return alone;
            yield return alone.Replace('+', '-').Replace('/', '_');
        }
    }
}
