namespace BackyardSentinel.Weather;

/// <summary>Takes the names of topics and paths to pieces.</summary>
public static class SensorWords
{
    /// <summary>The words of a name: cut at what is no letter, before digits, and where small letters turn to capitals.</summary>
    /// <param name="name">The name.</param>
    public static List<string> Of(string name)
    {
        List<string> words = [];
        var from = 0;
        for (var at = 1; at <= name.Length; at++)
        {
            var ends = at == name.Length
                || !char.IsLetter(name[at])
                || !char.IsLetter(name[at - 1])
                || (char.IsLower(name[at - 1]) && char.IsUpper(name[at]));
            if (!ends)
                continue;
            if (char.IsLetter(name[from]))
                words.Add(name[from..at].ToLowerInvariant());
            from = at;
        }

        return words;
    }
}
