using System.Globalization;
using System.Text;
using BackyardSentinel.Alerting;
using BackyardSentinel.Contract;
using BackyardSentinel.Storage;

namespace BackyardSentinel.Delivery;

/// <summary>The one message that tells of all those that did not get through, so that none vanishes unsaid.</summary>
internal static class OutboxDigest
{
    /// <summary>Messages that one digest counts; the rest come in the next.</summary>
    private const int MostCounted = 100;

    private const int MostTitles = 5;

    /// <summary>The digest's episode; every receiver has its own.</summary>
    public static string Episode(string receiver) => "digest/" + receiver;

    /// <summary>The digest that this receiver is owed now, or <c>null</c>.</summary>
    public static OutboxRow? Owed(OutboxStore outbox, string receiver, DateTimeOffset now, TimeZoneInfo zone)
    {
        var episode = Episode(receiver);
        var expired = outbox.Rows(receiver, OutboxState.Expired);
        var rejected = outbox.Rows(receiver, OutboxState.Rejected);
        if (expired.Count + rejected.Count == 0) return null;

        // What the receiver refused is told only after it took something else: a digest sooner would be refused as well.
        // So also after it refused a digest.
        var worked = outbox.LastDeliveredMs(receiver);
        var refusedDigest = rejected.Where(row => row.Episode == episode).Select(row => (long?)row.NextMs).Max();
        if (refusedDigest is not null && !(worked > refusedDigest)) return null;
        List<OutboxRow> counted =
        [
            .. expired
                .Concat(rejected.Where(row => row.Episode != episode && worked >= row.NextMs))
                .OrderBy(row => row.CreatedMs)
                .Take(MostCounted),
        ];
        if (counted.Count == 0)
            return null;
        HashSet<string> ids = [.. counted.Select(row => row.Id)];
        if (
            outbox
                .Rows(receiver, OutboxState.Waiting)
                .Any(row => row.Episode == episode && AlertJson.Read(row.Message) is { } known && ids.SetEquals(Counted(known))))
            return null;

        // Later than the last, whatever the clock says: no digest has another's id, also when earlier ones have been forgotten.
        var createdMs = Math.Max(now.ToUnixTimeMilliseconds(), (outbox.LastCreatedMs(receiver, episode) ?? 0) + 1);
        var message = Write(
            counted,
            string.Create(CultureInfo.InvariantCulture, $"digest-{receiver.Replace('.', '-')}-{createdMs}"),
            episode,
            now,
            zone);
        return new OutboxRow(
            message.Id,
            receiver,
            episode,
            createdMs,
            message.UsefulUntil.ToUnixTimeMilliseconds(),
            Encoding.UTF8.GetString(AlertJson.Write(message)))
        {
            NextMs = now.ToUnixTimeMilliseconds(),
        };
    }

    /// <summary>Ids of the messages that a digest counts.</summary>
    public static string[] Counted(AlertMessage digest) =>
        digest.Facts.GetValueOrDefault("ids", "").Split(' ', StringSplitOptions.RemoveEmptyEntries);

    private static AlertMessage Write(List<OutboxRow> counted, string id, string episode, DateTimeOffset now, TimeZoneInfo zone)
    {
        List<AlertMessage> alerts = [.. counted.Select(row => AlertJson.Read(row.Message)).OfType<AlertMessage>()];
        var (first, last) = (Local(counted[0].CreatedMs, zone), Local(counted[^1].CreatedMs, zone));
        var title =
            counted.Count == 1
                ? "1 alert could not be sent"
                : string.Create(CultureInfo.InvariantCulture, $"{counted.Count} alerts could not be sent");
        var text = new StringBuilder(
            counted.Count == 1 ? $"It was due at {first} ({zone.Id})." : $"They were due between {first} and {last} ({zone.Id}).");
        foreach (var alert in alerts.TakeLast(MostTitles))
            text.Append("\n- ").Append(PlainText.OneLine(alert.Title, 60));
        if (counted.Count > MostTitles)
            text.Append(CultureInfo.InvariantCulture, $"\nand {counted.Count - MostTitles} before them");
        text.Append("\nLook at how things stand now.");
        string[] sites = [.. alerts.Select(alert => alert.Site).Distinct(StringComparer.Ordinal)];
        var facts = new SortedDictionary<string, string>(StringComparer.Ordinal)
        {
            ["count"] = counted.Count.ToString(CultureInfo.InvariantCulture),
            ["first"] = MomentConverter.Text(DateTimeOffset.FromUnixTimeMilliseconds(counted[0].CreatedMs)),
            ["last"] = MomentConverter.Text(DateTimeOffset.FromUnixTimeMilliseconds(counted[^1].CreatedMs)),
            ["ids"] = string.Join(' ', counted.Select(row => row.Id)),
        };
        // A digest never expires: it ends by getting through, or by a newer one that counts the same and more.
        return new AlertMessage(
            id,
            episode,
            sites.Length == 1 ? sites[0] : "",
            [],
            AlertMessage.DigestKind,
            null,
            Urgency.Normal,
            now,
            now.AddYears(100),
            title,
            text.ToString(),
            facts);
    }

    private static string Local(long ms, TimeZoneInfo zone) =>
        TimeZoneInfo.ConvertTime(DateTimeOffset.FromUnixTimeMilliseconds(ms), zone).ToString("d MMM HH:mm", CultureInfo.InvariantCulture);
}
