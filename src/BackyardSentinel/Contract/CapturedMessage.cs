using System.Text.Json.Serialization;
using static System.Text.Json.Serialization.JsonIgnoreCondition;

namespace BackyardSentinel.Contract;

/// <summary>A line of the files that 'capture' writes: a sensor's message as it came.</summary>
/// <param name="Time">When it was taken up, UTC, with as many digits behind the second as it needs.</param>
/// <param name="Topic">Its topic.</param>
/// <param name="Payload">Its content, where that is text in UTF-8.</param>
/// <param name="PayloadBase64">Its content in base64, where it is anything else.</param>
/// <param name="Retained">It was the broker's stored copy.</param>
/// <param name="Redelivered">The broker had sent it before.</param>
[SchemaFile("captured-message")]
public sealed record CapturedMessage(
    string Time,
    string Topic,
    [property: JsonIgnore(Condition = WhenWritingNull)][Bounds(0)] string? Payload = null,
    [property: JsonIgnore(Condition = WhenWritingNull)][Bounds(0)] string? PayloadBase64 = null,
    [property: JsonIgnore(Condition = WhenWritingDefault)] bool Retained = false,
    [property: JsonIgnore(Condition = WhenWritingDefault)] bool Redelivered = false);
