using System.Text;
using BackyardSentinel.Guards;

namespace BackyardSentinel.Delivery;

/// <summary>Takes a receiver's secrets out of text that is shown: servers like to repeat what they were sent.</summary>
internal sealed class Redaction
{
    /// <summary>Shorter parts of an address are words such as "api", and are no secrets.</summary>
    private const int ShortestToken = 6;

    private readonly string[] _secrets;

    public Redaction(ReceiverSettings settings, Uri url)
    {
        List<string> secrets = [];
        var parts = url
            .AbsolutePath.Split('/')
            .Concat(url.Query.TrimStart('?').Split('&', '='))
            .Where(part => part.Length >= ShortestToken);
        foreach (var part in parts.Concat(url.UserInfo.Split(':')))
            secrets.AddRange([part, Uri.UnescapeDataString(part)]);
        secrets.AddRange(
            settings.Headers.Where(header => header.IsSecret).SelectMany(
                header => header.Value.Plain!.Split(' ').Append(header.Value.Plain)));
        foreach (var secret in settings.Secrets)
            secrets.AddRange([secret, secret["whsec_".Length..]]);
        // As it goes in the header of basic authentication, which some servers repeat in their answers.
        if (url.UserInfo.Length > 0) secrets.Add(Convert.ToBase64String(Encoding.UTF8.GetBytes(Uri.UnescapeDataString(url.UserInfo))));
        // A server may also repeat what stands behind the base64 of a header of ours.
        foreach (var word in settings.Headers.Where(header => header.IsSecret).SelectMany(header => header.Value.Plain!.Split(' ')))
        {
            var bytes = new byte[word.Length];
            if (Convert.TryFromBase64String(word, bytes, out var length) && Encoding.UTF8.GetString(bytes, 0, length) is var plain)
                secrets.AddRange(plain.Split(':').Append(plain));
        }

        _secrets =
        [
            .. secrets
                .Where(one => one.Length >= 3)
                .SelectMany(one => SecretForms.Packed(one).Append(one))
                .Distinct(StringComparer.Ordinal)
                .OrderByDescending(one => one.Length),
        ];
    }

    public string Clean(string text)
    {
        foreach (var secret in _secrets) text = text.Replace(secret, "…", StringComparison.OrdinalIgnoreCase);
        return text;
    }
}
