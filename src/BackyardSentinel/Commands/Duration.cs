using System.Globalization;

namespace BackyardSentinel.Commands;

/// <summary>Lengths of time as people write them: <c>30s</c>, <c>10m</c>, <c>2h</c>, <c>7d</c>.</summary>
public static class Duration
{
    /// <summary>Reads a positive length of time.</summary>
    public static bool TryParse(string text, out TimeSpan span)
    {
        span = default;
        if (text.Length < 2 || !int.TryParse(text.AsSpan(0, text.Length - 1), NumberStyles.None, CultureInfo.InvariantCulture, out var n) || n is 0 or > 1_000_000)
            return false;
        switch (text[^1])
        {
            case 's': span = TimeSpan.FromSeconds(n); return true;
            case 'm': span = TimeSpan.FromMinutes(n); return true;
            case 'h': span = TimeSpan.FromHours(n); return true;
            case 'd': span = TimeSpan.FromDays(n); return true;
            default: return false;
        }
    }
}
