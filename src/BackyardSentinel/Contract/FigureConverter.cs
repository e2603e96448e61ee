using System.Text.Json;
using System.Text.Json.Serialization;

namespace BackyardSentinel.Contract;

/// <summary>
/// The one number rule: at most four decimals, more than any sensor or model of ours can mean, so that one figure is the same
/// figure on a topic, in a replay and in a plan. What is not finite is missing, and missing is <c>null</c>, never 0.
/// </summary>
public sealed class FigureConverter : JsonConverter<double>
{
    /// <inheritdoc/>
    public override double Read(ref Utf8JsonReader reader, Type typeToConvert, JsonSerializerOptions options) => reader.GetDouble();

    /// <inheritdoc/>
    public override void Write(Utf8JsonWriter writer, double value, JsonSerializerOptions options)
    {
        if (double.IsFinite(value))
            writer.WriteNumberValue(Math.Round(value, 4) + 0.0); // No figure is "-0".
        else
            writer.WriteNullValue();
    }
}
