using System.Text;
using System.Text.Json;

namespace BackyardSentinel.Logs;

/// <summary>A raw message as a log has kept it.</summary>
/// <param name="Line">Line in its file, 1-based.</param>
/// <param name="Time">When it came, UTC.</param>
/// <param name="Topic">Its topic.</param>
/// <param name="Payload">Its bytes.</param>
/// <param name="Retained">It was the broker's stored copy.</param>
/// <param name="Redelivered">The broker had sent it before.</param>
public sealed record LoggedMessage(
    long Line, DateTimeOffset Time, string Topic, ReadOnlyMemory<byte> Payload, bool Retained, bool Redelivered);

/// <summary>
/// Raw messages, one JSON object a line: <c>time</c>, <c>topic</c>, and <c>payload</c> as a text, or as the JSON that it was, or
/// <c>payload_base64</c>; <c>retained</c> and <c>redelivered</c> where they were.
/// </summary>
public static class MessagesFile
{
    /// <summary>The longest line, characters: the longest message that is read, and its clothing.</summary>
    private const int LongestLine = 2_000_000;

    /// <summary>Reads a file.</summary>
    /// <param name="path">The file, plain or gzip.</param>
    /// <param name="reject">Told each line that is no message.</param>
    /// <exception cref="LogProblemException">The file cannot be read.</exception>
    public static IEnumerable<LoggedMessage> Read(string path, Action<RejectedRow> reject)
    {
        using var text = new StreamReader(LogFiles.Open(path));
        var buffer = new StringBuilder();
        for (long line = 1; Line(text, buffer, path) is { } written; line++)
        {
            if (string.IsNullOrWhiteSpace(written))
                continue;
            if (Message(written, line, out var reason) is { } message)
                yield return message;
            else
                reject(new RejectedRow(path, line, reason!));
        }
    }

    private static LoggedMessage? Message(string written, long line, out string? reason)
    {
        try
        {
            using var json = JsonDocument.Parse(written);
            return Message(json.RootElement, line, out reason);
        }
        catch (Exception e) when (e is JsonException or InvalidOperationException)
        {
            reason =
                $"\"{LogExcerpt.Of(written)}\" is no whole JSON object; "
                    + $"a line is like {{\"time\":\"2027-02-01T06:00:00Z\",\"topic\":\"hub/rain\",\"payload\":\"0.2\"}}";
            return null;
        }
    }

    private static LoggedMessage? Message(JsonElement json, long line, out string? reason)
    {
        reason = null;
        if (json.ValueKind != JsonValueKind.Object
            || !json.TryGetProperty("topic", out var topic)
            || topic.ValueKind != JsonValueKind.String)
            reason = "the line has no \"topic\"";
        else if (!json.TryGetProperty("time", out var time) || !TryMoment(time, out var moment))
            reason = "\"time\" is missing, or no time such as \"2027-02-01T06:00:00Z\"";
        else if (Payload(json) is not { } payload)
            reason = "the line has no \"payload\", nor a \"payload_base64\" that can be read";
        else
            return new LoggedMessage(line, moment, topic.GetString()!, payload, IsTrue(json, "retained"), IsTrue(json, "redelivered"));
        return null;
    }

    private static byte[]? Payload(JsonElement json)
    {
        if (json.TryGetProperty("payload", out var payload))
            return Encoding.UTF8.GetBytes(payload.ValueKind == JsonValueKind.String ? payload.GetString()! : payload.GetRawText());
        return json.TryGetProperty("payload_base64", out var packed)
            && packed.ValueKind == JsonValueKind.String
            && packed.TryGetBytesFromBase64(out var bytes)
            ? bytes
            : null;
    }

    private static bool TryMoment(JsonElement json, out DateTimeOffset moment)
    {
        moment = default;
        return json.ValueKind == JsonValueKind.String && new LogTime(TimeZoneInfo.Utc).TryRead(json.GetString(), out moment);
    }

    private static bool IsTrue(JsonElement json, string name) =>
        json.TryGetProperty(name, out var value) && value.ValueKind == JsonValueKind.True;

    /// <summary>The next line; <c>null</c> at the end. What is too long to be one stops the reading.</summary>
    private static string? Line(StreamReader text, StringBuilder buffer, string path)
    {
        buffer.Clear();
        try
        {
            for (var c = text.Read(); c >= 0; c = text.Read())
            {
                if (c == '\n')
                    return buffer.ToString();
                if (buffer.Append((char)c).Length > LongestLine)
                    throw new LogProblemException(
                        $"{path}: a line is longer than two million characters; a file of messages has one JSON object a line.");
            }
        }
        catch (Exception e) when (e is InvalidDataException or IOException)
        {
            throw new LogProblemException(
                $"{path}: the file is damaged or cut off ({LogExcerpt.OneLine(e.Message).TrimEnd('.')}); unpack it or copy it again.");
        }

        return buffer.Length > 0 ? buffer.ToString() : null;
    }
}
