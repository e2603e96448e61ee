using System.Globalization;
using System.Text.Json;
using BackyardSentinel.Commands.Explain;
using BackyardSentinel.Contract;
using BackyardSentinel.Sensors;
using BackyardSentinel.Storage;

namespace BackyardSentinel.Commands.Refused;

/// <summary>Writes what was kept aside for people, in local time, and for machines, in UTC.</summary>
internal static class RefusedText
{
    /// <summary>Two lines each: when, where and how often; why and what.</summary>
    public static void Write(IReadOnlyList<QuarantinedMessage> rows, int all, TimeZoneInfo zone, TextWriter output)
    {
        foreach (var row in rows)
        {
            var often =
                row.Count > 1 ? string.Create(CultureInfo.InvariantCulture, $", {row.Count} times since {Local(row.FirstUs, zone)}") : "";
            output.Write($"{Local(row.ReceivedUs, zone)}  {row.Topic}{often}\n");
            var value = row.Value is { } refused ? $" (last {Weather.UnitHint.Figure(refused)})" : "";
            output.Write($"    {row.Reason}{value}\n");
            output.Write($"    sent: {NumberReader.Quote(row.Payload)}\n");
        }

        if (rows.Count == 0)
            output.Write("Nothing was refused.\n");
        else if (all > rows.Count)
            output.Write(
                string.Create(CultureInfo.InvariantCulture, $"{all - rows.Count} older ones are not shown; '--limit {all}' shows them.\n"));
    }

    /// <summary>The same as one object.</summary>
    public static void WriteJson(IReadOnlyList<QuarantinedMessage> rows, int all, TextWriter output)
    {
        var document = new RefusedDocument(
            all,
            [
                .. rows.Select(row => new RefusedMessage(
                    row.Topic,
                    row.Reason.Text,
                    row.Value,
                    StoredTime.ToMoment(row.FirstUs),
                    StoredTime.ToMoment(row.ReceivedUs),
                    row.Count,
                    NumberReader.Quote(row.Payload).Trim('"'))),
            ]);
        output.Write(JsonSerializer.Serialize(document, ContractJson.Printed.RefusedDocument) + "\n");
    }

    private static string Local(long us, TimeZoneInfo zone) => ExplainWords.Local(StoredTime.ToMoment(us), zone);
}
