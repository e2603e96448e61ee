using BackyardSentinel.Garden;
using BackyardSentinel.Mqtt;
using BackyardSentinel.Sensors;
using BackyardSentinel.Storage;
using BackyardSentinel.Units;
using BackyardSentinel.Weather;
using BackyardSentinel.Wording;

namespace BackyardSentinel.Live;

/// <summary>Keeps aside what is not taken, for the command that lists it, and says so.</summary>
/// <param name="batch">Takes what is kept aside.</param>
/// <param name="stamps">Gives the moments of arrival.</param>
/// <param name="remarks">Says it, once an hour.</param>
internal sealed class Refusals(Batch batch, Stamps stamps, RemarkLog remarks)
{
    private const int BytesKept = 200;

    /// <summary>The reading stays in the store, so that a rebuild refuses it again; beside that it is kept aside and told.</summary>
    public void NotTaken(
        ArrivedMessage message, SeriesMap map, in Reading reading, QualityVerdict verdict, UnitSystem units, DateTimeOffset now)
    {
        var why = QualityControl.Why(reading.Quantity, reading.Value, verdict, units);
        KeepAside(message, $"{map.Quantity.Name()} {why}", now, reading.Value);
        remarks.NotTaken(map, verdict, $"{map.Quantity.Name()} {units.Said(reading.Quantity, reading.Value)} {why}");
    }

    /// <summary>Why a value was not taken, to be told in any language: the store has it as it was said then.</summary>
    /// <param name="row">What was kept aside.</param>
    /// <param name="quantity">What it should measure.</param>
    /// <param name="units">The grower's units.</param>
    /// <returns><c>null</c> where it was no value, or the reason was given in other words.</returns>
    public static Sentence? WhyOf(QuarantinedMessage row, Quantity quantity, UnitSystem units) => row.Value is { } value
        ? Enum.GetValues<QualityVerdict>()
            .Select(verdict => QualityControl.Why(quantity, value, verdict, units))
            .FirstOrDefault(why => row.Reason.EndsWith(why.Text, StringComparison.Ordinal))
        : null;

    /// <summary>The message holds nothing that can be taken.</summary>
    public void Refuse(ArrivedMessage message, string reason, DateTimeOffset now)
    {
        KeepAside(message, reason, now);
        remarks.Refuse(message.Topic, reason);
    }

    /// <summary>Keeps a message's first bytes, with the reason.</summary>
    public void KeepAside(ArrivedMessage message, string reason, DateTimeOffset now, double? value = null) =>
        batch.Rows.Quarantine.Add(
            new QuarantinedMessage(
                message.Topic,
                reason,
                stamps.Next(now),
                message.Payload.Span[..Math.Min(BytesKept, message.Payload.Length)].ToArray())
            {
                Value = value,
            });
}
