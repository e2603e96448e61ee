namespace BackyardSentinel.Configuration.Reading;

/// <summary>Finds the word somebody probably meant.</summary>
internal static class NearestWord
{
    /// <summary>Shorter words stand by chance in others.</summary>
    private const int ShortestPart = 4;

    /// <summary>The nearest candidate, or <c>null</c> when none is near enough to be a likely slip.</summary>
    public static string? Find(string word, IEnumerable<string> candidates)
    {
        // A word longer than any key is no slip of one, and the comparison costs length times length.
        if (word.Length is 0 or > 64)
            return null;
        var typed = Plain(word);
        var all = candidates as IReadOnlyCollection<string> ?? [.. candidates];
        string? best = null;
        var bestDistance = int.MaxValue;
        foreach (var candidate in all)
        {
            var target = Plain(candidate);
            var distance = typed.Length >= 3 && target.StartsWith(typed, StringComparison.Ordinal)
                ? 1
                : Distance(typed, target);
            if (distance <= (Math.Max(typed.Length, target.Length) + 2) / 4 && distance < bestDistance)
                (best, bestDistance) = (candidate, distance);
        }

        best ??= Within(typed, all);
        // A word that is a whole part of several, as copper is of fixed-copper and copper-soap, may mean any of them.
        return best is null || bestDistance == 0 || all.Count(candidate => Plain(candidate).Split('-').Contains(typed)) < 2 ? best : null;
    }

    /// <summary>The one candidate that a longer word begins or ends with, as timezone does with zone.</summary>
    private static string? Within(string typed, IEnumerable<string> all)
    {
        var within = all
            .Where(one => one.Length >= ShortestPart && Plain(one) is var part
                && (typed.StartsWith(part, StringComparison.Ordinal) || typed.EndsWith(part, StringComparison.Ordinal)))
            .ToList();
        return within.Count == 1 ? within[0] : null;
    }

    // Case and the choice between hyphen, underscore and space are the commonest slips and cost nothing.
    private static string Plain(string word) =>
        word.Trim().ToLowerInvariant().Replace('_', '-').Replace(' ', '-');

    /// <summary>Edits from one word to the other; two swapped neighbours count as one edit.</summary>
    internal static int Distance(string a, string b)
    {
        var d = new int[a.Length + 1, b.Length + 1];
        for (var i = 0; i <= a.Length; i++)
            d[i, 0] = i;
        for (var j = 0; j <= b.Length; j++)
            d[0, j] = j;
        for (var i = 1; i <= a.Length; i++)
        {
            for (var j = 1; j <= b.Length; j++)
            {
                var substitution = d[i - 1, j - 1] + (a[i - 1] == b[j - 1] ? 0 : 1);
                d[i, j] = Math.Min(Math.Min(d[i - 1, j] + 1, d[i, j - 1] + 1), substitution);
                if (i > 1 && j > 1 && a[i - 1] == b[j - 2] && a[i - 2] == b[j - 1])
                    d[i, j] = Math.Min(d[i, j], d[i - 2, j - 2] + 1);
            }
        }

        return d[a.Length, b.Length];
    }
}
