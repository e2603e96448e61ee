using System.Buffers;
using System.Threading.Channels;
using MQTTnet;
using ILogger = Serilog.ILogger;

namespace BackyardSentinel.Mqtt;

/// <summary>Takes messages from the client's handler, ties each to its acknowledgement and hands it on.</summary>
internal sealed class LinkReceiver(InDoubt inDoubt, Func<ArrivedMessage, CancellationToken, ValueTask> onMessage, ILogger log)
{
    /// <summary>Never throws: a handler that does stops the flow for good while the link still looks healthy.</summary>
    /// <param name="args">What came.</param>
    /// <param name="burst">What waited when its connection began.</param>
    /// <param name="inFlight">Told when it is acknowledged.</param>
    /// <param name="ct">Stops.</param>
    public async Task ReceiveAsync(
        MqttApplicationMessageReceivedEventArgs args,
        OpeningBurst burst,
        InFlight inFlight,
        CancellationToken ct)
    {
        ArrivedMessage? message = null;
        try
        {
            args.AutoAcknowledge = false;
            var source = args.ApplicationMessage;
            var payload = source.Payload.ToArray();
            var delivery = await burst.TakeAsync(args.PacketIdentifier, () => inDoubt.IsClear, ct).ConfigureAwait(false);
            if (source.Dup && inDoubt.TakeOriginal(source.Topic, payload) is { } original)
            {
                var acknowledge = Acknowledgement(args, burst, inFlight, () => original);
                if (original.Rebind(acknowledge))
                    await acknowledge(ct).ConfigureAwait(false);
                return;
            }

            message = new ArrivedMessage(
                source.Topic,
                payload,
                source.Retain,
                source.Dup,
                Acknowledgement(args, burst, inFlight, () => message!),
                delivery);
            inDoubt.Add(message);
            await onMessage(message, ct).ConfigureAwait(false);
        }
        catch (Exception stop) when (stop is OperationCanceledException or ChannelClosedException)
        {
            // Stopping: not acknowledged, so it comes again.
        }
#pragma warning disable CA1031 // see the summary
        catch (Exception failure)
#pragma warning restore CA1031
        {
            inFlight.Left(args.ApplicationMessage.Payload.Length);
            if (message is not null)
                inDoubt.Remove(message); // When it comes again it is none that is in hand.
            log.Error(failure, "A message on {Topic} could not be handed on.", args.ApplicationMessage.Topic);
        }
    }

    private Func<CancellationToken, Task> Acknowledgement(
        MqttApplicationMessageReceivedEventArgs args,
        OpeningBurst burst,
        InFlight inFlight,
        Func<ArrivedMessage> message
    ) =>
        async ct =>
        {
            inFlight.Left(args.ApplicationMessage.Payload.Length);
            try
            {
                await args.AcknowledgeAsync(ct).ConfigureAwait(false);
                burst.Moved();
                inDoubt.Remove(message());
            }
#pragma warning disable CA1031 // whatever the reason, the broker sends it again and it is then known
            catch (Exception failure)
#pragma warning restore CA1031
            {
                log.Debug(failure, "A message on {Topic} could not be acknowledged.", args.ApplicationMessage.Topic);
            }
        };
}
