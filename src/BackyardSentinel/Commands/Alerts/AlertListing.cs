using BackyardSentinel.Configuration;
using BackyardSentinel.Delivery;
using BackyardSentinel.Storage;

namespace BackyardSentinel.Commands.Alerts;

/// <summary>Shows what the outbox holds, and says when the way to the phone is dead.</summary>
internal static class AlertListing
{
    private static readonly TimeSpan Recent = TimeSpan.FromDays(7);

    /// <summary>Prints the list; <see cref="ExitCode.Findings"/> when no way has worked for a day.</summary>
    public static int Run(GardenFile garden, DateTimeOffset now, bool all, bool json, TextWriter output, TextWriter error)
    {
        if (!File.Exists(garden.Store.Path))
        {
            if (json) AlertListText.WriteJson([], [], new AlertPathHealth([]), output);
            else output.Write($"There is no store {garden.Store.Path} yet: the service has not run, and nothing has been sent.\n");
            return ExitCode.Done;
        }

        IReadOnlyList<StoredAnswer> answers;
        using (var book = AnswerBook.Reading(garden.Store.Path))
            answers = book.Rows();
        using var outbox = OutboxStore.Reading(garden.Store.Path);
        var health = new AlertPathHealth([.. garden.Alerts.Receivers.Select(one => (one.Id, one.Kind == ReceiverKind.Webhook))]);
        health.Look(outbox, now);
        var rows = outbox
            .Rows()
            .Where(row => all || IsOpen(row) || DateTimeOffset.FromUnixTimeMilliseconds(row.CreatedMs) > now - Recent)
            .ToList();
        if (json)
            AlertListText.WriteJson(rows, answers, health, output);
        else
            AlertListText.Write(rows, answers, garden.Sites[0].Zone, all, output);
        if (!health.IsDead)
            return ExitCode.Done;
        error.Write($"{AlertListText.Dead(health, garden.Sites[0].Zone)}\n");
        return ExitCode.Findings;
    }

    private static bool IsOpen(OutboxRow row) => row.State is OutboxState.Waiting or OutboxState.Expired or OutboxState.Rejected;
}
