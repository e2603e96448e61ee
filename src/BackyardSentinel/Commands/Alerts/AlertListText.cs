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
                    : "No alert is open, and none went out in the last seven days. One that waits for the morning is listed once it goes "
                        + "out. 'alert list --all' shows older ones.\n");
    }

    /// <summary>The rows and the state of the way to the phone as one object.</summary>
    public static void WriteJson(
        IReadOnlyList<OutboxRow> rows,
        IReadOnlyList<StoredAnswer> answers,
        AlertPathHealth health,
        TextWriter output)
    {
        var document = new AlertListDocument(
            new AlertPathTopic(health.IsDead ? AlertPathState.Dead : AlertPathState.Working, health.OpenSince, health.LastWorkedAt),
            [.. rows.Select(row => Listed(row, AlertJson.Read(row.Message), answers))]);
        output.Write(JsonSerializer.Serialize(document, ContractJson.Printed.AlertListDocument) + "\n");
    }

    /// <summary>The sentence when nothing gets out.</summary>
    public static string Dead(AlertPathHealth health, TimeZoneInfo zone)
    {
        var worked = health.LastWorkedAt is { } at
            ? $"the last message went through on {Local(at.ToUnixTimeMilliseconds(), zone)}"
            : "no message has ever gone through";
        return "The way to the phone is dead: "
            + $"an alert has been open since {Local(health.OpenSince!.Value.ToUnixTimeMilliseconds(), zone)}, and {worked}. "
            + "See the answers above, then try 'alert test'.";
    }

    /// <summary>A moment by the local clock.</summary>
    public static string Local(long ms, TimeZoneInfo zone) =>
        TimeZoneInfo
            .ConvertTime(DateTimeOffset.FromUnixTimeMilliseconds(ms), zone)
            .ToString("yyyy-MM-dd HH:mm", CultureInfo.InvariantCulture);

    private static ListedAlert Listed(OutboxRow row, AlertMessage? message, IReadOnlyList<StoredAnswer> answers)
    {
        var waits = row.State == OutboxState.Waiting;
        var said = Answer(row, message, answers);
        return new ListedAlert(
            row.Id,
            row.Episode,
            row.Receiver,
            Standing(row.State),
            message?.Kind,
            message?.Level,
            message?.Title,
            message?.Text,
            Moment(row.CreatedMs),
            Moment(row.UsefulUntilMs),
            row.Attempts,
            waits ? Moment(row.NextMs) : null,
            waits ? null : Moment(row.NextMs),
            row.LastAnswer,
            said is null ? null : said.UntilMs is null ? ListedAnswer.Seen : ListedAnswer.Later,
            said?.UntilMs is { } until ? Moment(until) : null);
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

    private static string Word(OutboxState state) => Standing(state).ToString().ToLowerInvariant();

    private static ListedState Standing(OutboxState state) => state switch
    {
        OutboxState.Waiting => ListedState.Waiting,
        OutboxState.Delivered => ListedState.Delivered,
        OutboxState.Superseded => ListedState.Superseded,
        OutboxState.Expired or OutboxState.ExpiredReported => ListedState.Expired,
        OutboxState.Rejected or OutboxState.RejectedReported => ListedState.Rejected,
    };

    private static DateTimeOffset Moment(long ms) => DateTimeOffset.FromUnixTimeMilliseconds(ms);
}
