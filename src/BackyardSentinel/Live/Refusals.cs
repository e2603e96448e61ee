using System.Diagnostics.CodeAnalysis;
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
    /// <summary>The reading stays in the store, so that a rebuild refuses it again; beside that it is kept aside and told.</summary>
    public void NotTaken(
        ArrivedMessage message, SeriesMap map, in Reading reading, QualityVerdict verdict, UnitSystem units, DateTimeOffset now)
    {
        var why = QualityControl.Why(reading.Quantity, reading.Value, verdict, units);
        KeepAside(message, $"{map.Quantity.Said()} {why}", now, reading.Value);
        remarks.NotTaken(map, verdict, $"{map.Quantity.Name()} {units.Said(reading.Quantity, reading.Value)} {why}");
    }

    /// <summary>What was kept aside can be a message of a series.</summary>
    /// <param name="row">What was kept aside.</param>
    /// <param name="series">The series.</param>
    /// <param name="isAlone">No other series has its topic.</param>
    public static bool MayConcern(QuarantinedMessage row, SeriesMap series, bool isAlone) =>
        row.Topic == series.Topic
        && PayloadMap.MayConcern(row.Reason.Text, series.Path)
        && (row.Value is null || isAlone || row.Reason.Text.Contains(series.Quantity.Name(), StringComparison.OrdinalIgnoreCase));

    /// <summary>
    /// Reads a message. One at which our own reader fails is kept aside like any other that cannot be read: in hand it would end the
    /// service, come again after the restart, and end it once more.
    /// </summary>
    /// <param name="message">The message.</param>
    /// <param name="now">Now.</param>
    /// <param name="read">The reader; throws only by a fault of the program.</param>
    /// <param name="result">What it read.</param>
    public bool TryRead<T>(ArrivedMessage message, DateTimeOffset now, Func<T> read, [NotNullWhen(true)] out T? result)
        where T : notnull
    {
        try
        {
            result = read();
            return true;
        }
#pragma warning disable CA1031 // whatever the fault, the next message is read
        catch (Exception fault)
#pragma warning restore CA1031
        {
            result = default;
            KeepAside(message, $"the program failed to read it, which is a fault of the program; please report it with the log", now);
            remarks.Fault(message.Topic, fault);
            return false;
        }
    }

    /// <summary>The message holds nothing that can be taken.</summary>
    public void Refuse(ArrivedMessage message, Sentence reason, DateTimeOffset now)
    {
        KeepAside(message, reason, now);
        remarks.Refuse(message.Topic, reason);
    }

    /// <summary>Keeps a message's first bytes, with the reason.</summary>
    public void KeepAside(ArrivedMessage message, Sentence reason, DateTimeOffset now, double? value = null) =>
        batch.Rows.Quarantine.Add(
            new QuarantinedMessage(
                message.Topic,
                reason,
                stamps.Next(now),
                message.Payload.Span[..Math.Min(StoreWriter.QuarantineBytes, message.Payload.Length)].ToArray())
            {
                Value = value,
            });
}
