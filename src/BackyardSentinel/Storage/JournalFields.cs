using System.Globalization;
using System.Text.Json;
using BackyardSentinel.Garden;

namespace BackyardSentinel.Storage;

/// <summary>Reads the fields of one entry; the first fault is kept as a sentence, and what follows reads as empty.</summary>
internal sealed class JournalFields(JsonElement json)
{
    /// <summary>
    /// Years of a garden's journal; others are slips of the pen, and near the calendar's ends seasons cannot be reckoned.
    /// </summary>
    private const int FirstYear = 1900, LastYear = 2199;

    public string? Fault { get; private set; }

    public void Refuse(string sentence) => Fault ??= sentence;

    public string Text(string name)
    {
        if (Has(name, out var value) && value.ValueKind == JsonValueKind.String && value.GetString() is { Length: > 0 } text)
        {
            if (TerminalText.Plain(text) is var plain && plain != text)
                Refuse($"\"{name}\" is \"{plain}\": it holds characters that cannot be shown.");
            return text;
        }

        Refuse($"\"{name}\" is missing or is no text.");
        return "";
    }

    public string OneOf(string name, params ReadOnlySpan<string> words)
    {
        var text = Text(name);
        if (!words.Contains(text))
            Refuse($"\"{name}\" is \"{text}\"; it is {string.Join(" or ", words.ToArray().Select(word => $"\"{word}\""))}.");
        return text;
    }

    public DateOnly Day(string name)
    {
        var text = Text(name);
        if (DateOnly.TryParseExact(text, "yyyy-MM-dd", CultureInfo.InvariantCulture, DateTimeStyles.None, out var day))
        {
            if (day.Year is < FirstYear or > LastYear)
                Refuse($"\"{name}\" is {text}; is the year right? Taken are {FirstYear} to {LastYear}.");
            return day;
        }

        Refuse($"\"{name}\" is \"{text}\", which is no day such as 2027-02-12.");
        return default;
    }

    public double Number(string name, double least, double most)
    {
        if (OptionalNumber(name, least, most) is { } number)
            return number;
        Refuse($"\"{name}\" is missing.");
        return least;
    }

    public int Whole(string name, int least, int most)
    {
        var number = Number(name, least, most);
        if (number == Math.Floor(number))
            return (int)number;
        Refuse(string.Create(CultureInfo.InvariantCulture, $"\"{name}\" is {number}; it is a whole number."));
        return least;
    }

    public double? OptionalNumber(string name, double least, double most)
    {
        if (!Has(name, out var value))
            return null;
        if (value.ValueKind == JsonValueKind.Number && value.TryGetDouble(out var number) && number >= least && number <= most)
            return number;
        Refuse(string.Create(CultureInfo.InvariantCulture, $"\"{name}\" is {value.GetRawText()}; it is a number from {least} to {most}."));
        return null;
    }

    public TimeOnly? OptionalTime(string name)
    {
        if (!Has(name, out var value))
            return null;
        if (
            value.ValueKind == JsonValueKind.String
            && TimeOnly.TryParseExact(value.GetString(), "HH:mm", CultureInfo.InvariantCulture, DateTimeStyles.None, out var time))
            return time;
        Refuse($"\"{name}\" is {value.GetRawText()}; it is a local time such as \"14:30\".");
        return null;
    }

    public SymptomStage? OptionalSymptom(string name)
    {
        if (!Has(name, out var value))
            return null;
        if (value.ValueKind == JsonValueKind.String && SymptomWords.Of(value.GetString()!) is { } symptom)
            return symptom;
        Refuse($"\"{name}\" is {value.GetRawText()}; known are {string.Join(", ", SymptomWords.All)}.");
        return null;
    }

    private bool Has(string name, out JsonElement value) => json.TryGetProperty(name, out value) && value.ValueKind != JsonValueKind.Null;
}
