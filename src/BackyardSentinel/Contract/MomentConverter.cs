using System.Globalization;
using System.Text.Json;
using System.Text.Json.Serialization;

namespace BackyardSentinel.Contract;

/// <summary>A moment as the program writes it everywhere: ISO 8601, UTC, whole seconds, <c>2027-03-03T06:00:00Z</c>.</summary>
public sealed class MomentConverter : JsonConverter<DateTimeOffset>
{
    private const string Form = "yyyy-MM-dd'T'HH:mm:ss'Z'";

    /// <summary>The moment's text.</summary>
    /// <param name="moment">The moment, in any zone.</param>
    public static string Text(DateTimeOffset moment) => moment.UtcDateTime.ToString(Form, CultureInfo.InvariantCulture);

    /// <inheritdoc/>
    public override DateTimeOffset Read(ref Utf8JsonReader reader, Type typeToConvert, JsonSerializerOptions options) =>
        DateTimeOffset.TryParseExact(
            reader.GetString(),
            Form,
            CultureInfo.InvariantCulture,
            DateTimeStyles.AssumeUniversal,
            out var moment)
            ? moment
            : throw new JsonException("A moment is written like 2027-03-03T06:00:00Z.");

    /// <inheritdoc/>
    public override void Write(Utf8JsonWriter writer, DateTimeOffset value, JsonSerializerOptions options) =>
        writer.WriteStringValue(Text(value));
}
