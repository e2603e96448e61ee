using System.Globalization;
using System.Text;
using System.Text.Encodings.Web;
using System.Text.Json;

namespace BackyardSentinel.Contract;

/// <summary>How moments, figures and levels are written in every JSON of ours.</summary>
internal static class JsonWriting
{
    /// <summary>For people and programs alike: indented, letters as they are, and lines that end alike on every system.</summary>
    public static JsonWriterOptions Options { get; } = new()
    {
        Indented = true,
        NewLine = "\n",
        Encoder = JavaScriptEncoder.UnsafeRelaxedJsonEscaping,
    };

    /// <summary>One object as a command prints it, with a line end.</summary>
    /// <param name="write">Writes the object.</param>
    public static string Indented(Action<Utf8JsonWriter> write)
    {
        using var buffer = new MemoryStream();
        using (var json = new Utf8JsonWriter(buffer, Options))
            write(json);
        return Encoding.UTF8.GetString(buffer.ToArray()) + "\n";
    }

    /// <summary>A moment in UTC to the second, or null.</summary>
    public static void Moment(this Utf8JsonWriter json, string name, DateTimeOffset? moment)
    {
        if (moment is { } known)
            json.WriteString(name, known.UtcDateTime.ToString("yyyy-MM-dd'T'HH:mm:ss'Z'", CultureInfo.InvariantCulture));
        else
            json.WriteNull(name);
    }

    /// <summary>A local day.</summary>
    public static void Day(this Utf8JsonWriter json, string name, DateOnly day) =>
        json.WriteString(name, day.ToString("yyyy-MM-dd", CultureInfo.InvariantCulture));

    /// <summary>A local calendar day; <c>null</c> where there is none.</summary>
    public static void Day(this Utf8JsonWriter json, string name, DateOnly? day) =>
        json.WriteString(name, day?.ToString("yyyy-MM-dd", CultureInfo.InvariantCulture));

    /// <summary>A figure, rounded as everywhere to four decimals, or null: missing is never 0.</summary>
    public static void Figure(this Utf8JsonWriter json, string name, double? figure)
    {
        if (figure is { } known && double.IsFinite(known)) json.WriteNumber(name, Math.Round(known, 4));
        else json.WriteNull(name);
    }
}
