using System.Text.Json;
using BackyardSentinel.Wording;

namespace BackyardSentinel.Commands.Examine;

/// <summary>The check of the copy that goes to InfluxDB; the server itself is not asked.</summary>
internal static class InfluxChecks
{
    public static Verdict Takes(Scene scene)
    {
        if (scene.Garden.Influx is null)
            return Verdict.Fine($"The garden file names no InfluxDB server.");
        if (!scene.Broker.IsIn)
            return Verdict.Unknown($"What InfluxDB takes is not known, since the broker cannot be asked.");
        if (Said(scene.Broker.Influx) is not var (state, reason, refused))
            return scene.Store.IsHeld == true
                ? Verdict.Unknown(
                    $"What InfluxDB takes is not known: nothing of it can be read at the broker yet. The service's log tells it.")
                : Verdict.Look(
                    $"The service has left no word of InfluxDB at the broker.",
                    $"Start it: backyard-sentinel run, or systemctl start backyard-sentinel.");
        return state switch
        {
            "not-allowed" => Verdict.Wrong(
                $"InfluxDB takes nothing from this service: {new Name(reason)}.",
                $"Look at url, org, bucket and token under influx in the garden file; see docs/influxdb.md."),
            "waiting" => Verdict.Look(
                $"InfluxDB takes nothing at the moment: {new Name(reason)}.",
                $"What is not sent waits in the store. Does the server run, and is url its address?"),
            // What is older than the bucket keeps is left out as its owner wants it.
            _ when refused > 0 && !reason.Contains("beyond retention policy", StringComparison.Ordinal) => Verdict.Look(
                $"InfluxDB has refused {refused} points since the service started: {new Name(reason)}.",
                $"'refused' shows some of them; docs/influxdb.md says what it may be. The readings themselves are in the store."),
            _ => Verdict.Fine($"InfluxDB takes what the service sends."),
        };
    }

    private static (string State, string Reason, long Refused)? Said(string? topic)
    {
        if (topic is null)
            return null;
        try
        {
            using var document = JsonDocument.Parse(topic);
            return document.RootElement.TryGetProperty("state", out var state) && state.GetString() is { } word
                ? (
                    word,
                    document.RootElement.TryGetProperty("last_answer", out var answer) ? answer.GetString() ?? "" : "",
                    document.RootElement.TryGetProperty("refused_points", out var refused) ? refused.GetInt64() : 0)
                : null;
        }
        catch (Exception fault) when (fault is JsonException or InvalidOperationException)
        {
            return null;
        }
    }
}
