using System.Globalization;
using BackyardSentinel.Alerting;
using BackyardSentinel.Configuration;
using BackyardSentinel.Contract;
using BackyardSentinel.Delivery;
using BackyardSentinel.Hosting;
using BackyardSentinel.Mqtt;
using BackyardSentinel.Storage;

namespace BackyardSentinel.Commands.Alerts;

/// <summary>Sends a test message through the very receivers that alerts go through, at once and one time each.</summary>
internal sealed class AlertTesting(GardenFile garden, TimeProvider time, TextWriter output)
{
    private const string Repeats = " It is tried again.";

    /// <summary>Sends, and prints each receiver's answer.</summary>
    /// <param name="only">The one receiver meant; <c>null</c>: all.</param>
    /// <param name="dryRun">Show the message and send nothing.</param>
    /// <param name="ct">Gives up.</param>
    public async Task<int> RunAsync(string? only, bool dryRun, CancellationToken ct)
    {
        using var wiring = AlertWiring.Of(garden);
        if (wiring.Receivers.Count == 0)
        {
            await output
                .WriteLineAsync(
                    "The garden file names no destination, so alerts reach nobody. Name one under alerts: "
                        + "send_to; docs/alerts.md shows how.")
                .ConfigureAwait(false);
            return ExitCode.Findings;
        }

        // Made even for a dry run: it is how wrong addresses, keys and templates are found.
        var receivers = wiring
            .Connect(Publish(wiring), output, time, () => true)
            .Where(receiver => only is null || receiver.Name == only)
            .ToList();
        if (receivers.Count == 0)
            throw new CommandProblemException(
                $"--to: the garden file has no destination \"{only}\"; "
                    + $"it has {string.Join(", ", wiring.Receivers.Select(one => one.Id))}.");
        var message = Message(wiring);
        var failed = 0;
        foreach (var receiver in receivers)
        {
            var sender = dryRun ? new DryRunReceiver(receiver.Name, output) : receiver;
            var result = await sender.SendAsync(message, ct).ConfigureAwait(false);
            await output.WriteLineAsync($"{receiver.Name}: {Words(result)}").ConfigureAwait(false);
            if (result is not DeliveryResult.Delivered) failed++;
            else if (!dryRun) SwitchOn(receiver.Name);
        }

        return failed == 0 ? ExitCode.Done : ExitCode.Findings;
    }

    private Func<string, ReadOnlyMemory<byte>, CancellationToken, Task> Publish(AlertWiring wiring)
    {
        if (wiring.Receivers.All(receiver => receiver.Kind != ReceiverKind.Topic))
            return (_, _, _) => throw new InvalidOperationException("No destination is a topic.");
        var broker = GardenWiring.Broker(garden, out var reason) ?? throw new WiringProblemException(reason!.Text);
        return new BrokerVisit(broker).PublishAsync;
    }

    private AlertMessage Message(AlertWiring wiring)
    {
        var now = time.GetUtcNow();
        var text = wiring.Words.Test(garden.Name, now, wiring.ZoneOf(null));
        var id = string.Create(CultureInfo.InvariantCulture, $"test-{now.UtcDateTime:yyyyMMdd't'HHmmss'z'}");
        return new AlertMessage(
            id,
            "garden/" + id,
            "",
            [],
            AlertMessage.TestKind,
            null,
            Urgency.Normal,
            now,
            now.AddHours(1),
            text.Title,
            text.Body,
            AlertMessage.NoFacts);
    }

    private static string Words(DeliveryResult result) =>
        result switch
        {
            DeliveryResult.Delivered delivered => $"delivered ({delivered.Answer})",
            // True of alerts, which wait in the outbox; a test is sent once.
            DeliveryResult.RetryLater later => "not delivered. "
                + (later.Reason.EndsWith(Repeats, StringComparison.Ordinal) ? later.Reason[..^Repeats.Length] : later.Reason),
            DeliveryResult.Rejected rejected => "not delivered. " + rejected.Reason,
            _ => throw new System.Diagnostics.UnreachableException(),
        };

    /// <summary>A receiver that had switched itself off takes messages again.</summary>
    private void SwitchOn(string receiver)
    {
        if (!File.Exists(garden.Store.Path)) return;
        using var outbox = OutboxStore.OpenAny(garden.Store.Path);
        outbox.SwitchOn(receiver);
    }
}
