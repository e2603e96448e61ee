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
        var parts = url.AbsolutePath.Split('/').Concat(url.Query.TrimStart('?').Split('&', '=')).Where(part => part.Length >= ShortestToken);
        foreach (var part in parts.Concat(url.UserInfo.Split(':'))) secrets.AddRange([part, Uri.UnescapeDataString(part)]);
        secrets.AddRange(settings.Headers.Where(header => header.IsSecret).SelectMany(header => header.Value.Split(' ').Append(header.Value)));
        if (settings.Secret is { } secret) secrets.AddRange([secret, secret["whsec_".Length..]]);
        _secrets = [.. secrets.Where(one => one.Length >= 3).Distinct(StringComparer.Ordinal).OrderByDescending(one => one.Length)];
    }

    public string Clean(string text)
    {
        foreach (var secret in _secrets) text = text.Replace(secret, "…", StringComparison.OrdinalIgnoreCase);
        return text;
    }
}
