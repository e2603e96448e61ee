using System.Globalization;
using System.Text.Json;
using BackyardSentinel.Contract;
using BackyardSentinel.Delivery;
using BackyardSentinel.Storage;

namespace BackyardSentinel.Commands.Alerts;

/// <summary>Writes rows of the outbox for people, in local time, and for machines, in UTC.</summary>
internal static class AlertListText
{
    /// <summary>The rows, two or three lines each, oldest first.</summary>
    public static void Write(
        IReadOnlyList<OutboxRow> rows,
        IReadOnlyList<StoredAnswer> answers,
        TimeZoneInfo zone,
        bool all,
        TextWriter output)
    {
        foreach (var row in rows)
        {
            var message = AlertJson.Read(row.Message);
            output.Write(
                $"{Local(row.CreatedMs, zone)}  {Word(row.State),-10} {row.Receiver}: {message?.Title ?? "(cannot be read any more)"}\n");
            output.Write($"    {row.Id}{Attempts(row)}{When(row, zone)}\n");
            if (row.LastAnswer is { } answer) output.Write($"    {answer}\n");
            if (Answer(row, message, answers) is { } said) output.Write($"    {Said(said, zone)}\n");
        }

        if (rows.Count == 0)
            output.Write(
                all
                    ? "No alert was ever made.\n"
                    : "No alert is open, and none was made in the last seven days. 'alert list --all' shows older ones.\n");
    }

    /// <summary>The rows and the state of the way to the phone as one object.</summary>
    public static void WriteJson(
        IReadOnlyList<OutboxRow> rows,
        IReadOnlyList<StoredAnswer> answers,
        AlertPathHealth health,
        TextWriter output)
    {
        output.Write(JsonWriting.Indented(json =>
        {
            json.WriteStartObject();
            json.WriteStartObject("path");
            json.WriteString("state", health.IsDead ? "dead" : "working");
            json.Moment("last_worked_at", health.LastWorkedAt);
            json.Moment("open_since", health.OpenSince);
            json.WriteEndObject();
            json.WriteStartArray("alerts");
            foreach (var row in rows)
                Write(json, row, AlertJson.Read(row.Message), answers);
            json.WriteEndArray();
            json.WriteEndObject();
        }));
    }

    /// <summary>The sentence when nothing gets out.</summary>
    public static string Dead(AlertPathHealth health, TimeZoneInfo zone)
    {
        var worked = health.LastWorkedAt is { } at
            ? $"the last message went through on {Local(at.ToUnixTimeMilliseconds(), zone)}"
            : "no message has ever gone through";
        return $"The way to the phone is dead: an alert has been open since {Local(health.OpenSince!.Value.ToUnixTimeMilliseconds(), zone)}, and {worked}. See the answers above, then try 'alert test'.";
    }

    /// <summary>A moment by the local clock.</summary>
    public static string Local(long ms, TimeZoneInfo zone) =>
        TimeZoneInfo
            .ConvertTime(DateTimeOffset.FromUnixTimeMilliseconds(ms), zone)
            .ToString("yyyy-MM-dd HH:mm", CultureInfo.InvariantCulture);

    private static void Write(Utf8JsonWriter json, OutboxRow row, AlertMessage? message, IReadOnlyList<StoredAnswer> answers)
    {
        var waits = row.State == OutboxState.Waiting;
        json.WriteStartObject();
        json.WriteString("id", row.Id);
        json.WriteString("episode", row.Episode);
        json.WriteString("to", row.Receiver);
        json.WriteString("state", Word(row.State));
        json.WriteString("kind", message?.Kind);
        json.WriteString("level", message?.Level);
        json.WriteString("title", message?.Title);
        json.WriteString("text", message?.Text);
        json.Moment("at", Moment(row.CreatedMs));
        json.Moment("useful_until", Moment(row.UsefulUntilMs));
        json.WriteNumber("attempts", row.Attempts);
        json.Moment("next_attempt_at", waits ? Moment(row.NextMs) : null);
        json.Moment("ended_at", waits ? null : Moment(row.NextMs));
        json.WriteString("last_answer", row.LastAnswer);
        var said = Answer(row, message, answers);
        json.WriteString("answer", said?.Kind);
        json.Moment("later_until", said?.UntilMs is { } until ? Moment(until) : null);
        json.WriteEndObject();
    }

    /// <summary>The grower's last answer to what the message tells of.</summary>
    private static StoredAnswer? Answer(OutboxRow row, AlertMessage? message, IReadOnlyList<StoredAnswer> answers)
    {
        var episodes = message is null ? [row.Episode] : message.Episodes;
        return answers.LastOrDefault(answer => episodes.Contains(answer.Episode));
    }

    private static string Said(StoredAnswer answer, TimeZoneInfo zone) => answer.UntilMs is { } until
        ? $"you put it off until {Local(until, zone)}"
        : $"you have seen it ({Local(answer.ReceivedUs / 1000, zone)})";

    private static string Attempts(OutboxRow row) => row.Attempts switch
    {
        0 => "",
        1 => ", 1 attempt failed",
        _ => string.Create(CultureInfo.InvariantCulture, $", {row.Attempts} attempts failed"),
    };

    private static string When(OutboxRow row, TimeZoneInfo zone) =>
        row.State == OutboxState.Waiting ? $", next attempt {Local(row.NextMs, zone)}" : $", {Word(row.State)} {Local(row.NextMs, zone)}";

    /// <summary>The four ends of docs/alerts.md; whether a digest has counted it is the outbox's own business.</summary>
    private static string Word(OutboxState state) => state switch
    {
        OutboxState.Waiting => "waiting",
        OutboxState.Delivered => "delivered",
        OutboxState.Superseded => "superseded",
        OutboxState.Expired or OutboxState.ExpiredReported => "expired",
        OutboxState.Rejected or OutboxState.RejectedReported => "rejected",
    };

    private static DateTimeOffset Moment(long ms) => DateTimeOffset.FromUnixTimeMilliseconds(ms);
}
