using System.Text.Json;
using System.Text.Json.Serialization;

namespace BackyardSentinel.Contract;

/// <summary>A figure that the grower wrote comes back as it was written, whatever <see cref="FigureConverter"/> does.</summary>
public sealed class AsWrittenConverter : JsonConverter<double>
{
    /// <inheritdoc/>
    public override double Read(ref Utf8JsonReader reader, Type typeToConvert, JsonSerializerOptions options) => reader.GetDouble();

    /// <inheritdoc/>
    public override void Write(Utf8JsonWriter writer, double value, JsonSerializerOptions options) => writer.WriteNumberValue(value);
}
