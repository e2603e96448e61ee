namespace BackyardSentinel.Forecasts;

/// <summary>Where a forecast is fetched, and how often.</summary>
public sealed record ForecastSource
{
    /// <summary>More often than this no source that answers is asked, whatever the garden file says.</summary>
    public static TimeSpan Shortest { get; } = TimeSpan.FromMinutes(30);

    /// <summary>
    /// So soon a source is asked again from which no answer came, however often: with the 20 s that it is waited for, a line that is
    /// well again is found within two minutes.
    /// </summary>
    internal static TimeSpan Unanswered { get; } = TimeSpan.FromSeconds(90);

    /// <summary>Checks address, contact and interval.</summary>
    /// <param name="url">The address, http or https. It may hold a key, so it is never shown.</param>
    /// <param name="contact">An address or page where the source can reach whoever runs this; goes into the User-Agent.</param>
    /// <param name="every">Time between fetchings, 30 min to 24 h; <c>null</c> for 60 min.</param>
    /// <exception cref="ArgumentException">One of them is not what it may be.</exception>
    public ForecastSource(Uri url, string contact, TimeSpan? every = null)
    {
        if (!url.IsAbsoluteUri || url.Scheme is not ("http" or "https"))
            throw new ArgumentException("the address does not begin with http:// or https://", nameof(url));
        if (
            contact.Length == 0
            || contact.AsSpan().IndexOfAnyExceptInRange(' ', '~') >= 0
            || contact.AsSpan().IndexOfAny('(', ')', '\\') >= 0)
            throw new ArgumentException(
                "the contact is empty or holds a bracket, a backslash or a character outside ASCII",
                nameof(contact));
        (Url, Contact, Every) = (url, contact, every ?? TimeSpan.FromHours(1));
        if (Every < Shortest || Every > TimeSpan.FromHours(24))
            throw new ArgumentException("the time between fetchings is 30 minutes to 24 hours", nameof(every));
    }

    /// <summary>The address.</summary>
    public Uri Url { get; }

    /// <summary>Where the source can reach whoever runs this.</summary>
    public string Contact { get; }

    /// <summary>Time between fetchings, before it is varied by a fifth.</summary>
    public TimeSpan Every { get; }

    /// <summary>Headers that go with every request; their values may be keys, so they are never shown.</summary>
    public IReadOnlyList<(string Name, string Value)> Headers { get; init; } = [];

    /// <summary>How the program names itself: product, version and contact (RFC 9110, 10.1.5).</summary>
    internal string UserAgent => $"{Guards.UserAgent.Product} ({Contact})";
}
