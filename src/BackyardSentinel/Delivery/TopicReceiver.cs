using BackyardSentinel.Contract;

namespace BackyardSentinel.Delivery;

/// <summary>
/// Publishes alerts to <c>BASE/alert/ID</c>, not retained: an alert of yesterday must not greet whoever subscribes today.
/// </summary>
/// <param name="name">Its id.</param>
/// <param name="baseTopic">First part of the topic.</param>
/// <param name="publish">Publishes to a topic without the retain flag; done when the broker has it, and throws when it has not.</param>
public sealed class TopicReceiver(string name, string baseTopic, Func<string, ReadOnlyMemory<byte>, CancellationToken, Task> publish)
    : IAlertReceiver
{
    /// <inheritdoc/>
    public string Name => name;

    /// <inheritdoc/>
    public string Fingerprint => "topic";

    /// <inheritdoc/>
    public bool IsAnswered => false;

    /// <inheritdoc/>
    public async Task<DeliveryResult> SendAsync(AlertMessage message, CancellationToken ct)
    {
        ArgumentNullException.ThrowIfNull(message);
        var topic = $"{baseTopic}/alert/{message.Id.Replace('/', '-').Replace('+', '-').Replace('#', '-')}";
        try
        {
            await publish(topic, AlertJson.Write(message), ct).ConfigureAwait(false);
            return new DeliveryResult.Delivered("published to " + topic);
        }
#pragma warning disable CA1031 // whatever the link throws, the message waits for it
        catch (Exception failure) when (failure is not OperationCanceledException || !ct.IsCancellationRequested)
#pragma warning restore CA1031
        {
            return new DeliveryResult.RetryLater(
                $"The destination {name} could not publish to {topic}: {PlainText.OneLine(failure.Message, 200)} It is tried again.")
            {
                Unanswered = true,
            };
        }
    }
}
