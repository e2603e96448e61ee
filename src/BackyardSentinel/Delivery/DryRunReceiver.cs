using BackyardSentinel.Alerting;
using BackyardSentinel.Contract;

namespace BackyardSentinel.Delivery;

/// <summary>Writes alerts out and sends them nowhere, to see what would reach the phone.</summary>
/// <param name="name">Its id.</param>
/// <param name="output">Where to.</param>
public sealed class DryRunReceiver(string name, TextWriter output) : IAlertReceiver
{
    /// <inheritdoc/>
    public string Name => name;

    /// <inheritdoc/>
    public string Fingerprint => "dry-run";

    /// <inheritdoc/>
    public bool IsAnswered => false;

    /// <inheritdoc/>
    public async Task<DeliveryResult> SendAsync(AlertMessage message, CancellationToken ct)
    {
        ArgumentNullException.ThrowIfNull(message);
        var text =
            $"[{name}, {message.Urgency.Word()}, {message.Id}]\n{message.Title}\n{message.Text.TrimEnd()}\n\n";
        await output.WriteAsync(text.AsMemory(), ct).ConfigureAwait(false);
        await output.FlushAsync(ct).ConfigureAwait(false);
        return new DeliveryResult.Delivered("written out, sent nowhere");
    }
}
