using BackyardSentinel.Configuration;
using BackyardSentinel.Sensors;
using BackyardSentinel.Wording;

namespace BackyardSentinel.Proposing;

/// <summary>What a series of the garden file makes of a message.</summary>
/// <param name="Series">The series.</param>
/// <param name="Value">The last reading, in the quantity's unit; <c>null</c>: none came of it.</param>
/// <param name="Remarks">Why there is none, or what is odd about it.</param>
internal sealed record ReadAlready(SeriesMap Series, double? Value, IReadOnlyList<Sentence> Remarks);

/// <summary>What came and is not proposed.</summary>
/// <param name="Topic">The topic.</param>
/// <param name="Path">Where the value is in the message; <c>null</c>: the message, or all of it.</param>
/// <param name="Last">The last number, as sent; <c>null</c>: none.</param>
/// <param name="Reason">Why not.</param>
internal sealed record LeftOut(string Topic, string? Path, double? Last, Sentence Reason);

/// <summary>What was heard, sorted: what the garden file reads already, what it could read, and the rest.</summary>
internal sealed record ListenResult
{
    /// <summary>The topic of a message of which none was told.</summary>
    public const string AnyTopic = "your/topic";

    /// <summary>The broker; <c>null</c>: one message was shown.</summary>
    public string? Broker { get; private init; }

    /// <summary>How long was listened.</summary>
    public TimeSpan? Length { get; private init; }

    public int Messages { get; private init; }

    public int Topics { get; private init; }

    public int OwnTopics { get; private init; }

    /// <inheritdoc cref="HeardMessages.IsCut"/>
    public bool IsCut { get; private init; }

    public IReadOnlyList<ReadAlready> Read { get; private init; } = [];

    public required IReadOnlyList<SeriesProposal> Proposed { get; init; }

    public required IReadOnlyList<LeftOut> Others { get; init; }

    /// <summary>Sorts what came from a broker.</summary>
    public static ListenResult Of(GardenFile? garden, HeardMessages hearing, string broker, TimeSpan length) =>
        Of(garden, hearing) with { Broker = broker, Length = length };

    /// <summary>Shows one message.</summary>
    /// <param name="garden">The garden file, if there is one.</param>
    /// <param name="hearing">An ear that has heard nothing.</param>
    /// <param name="topic">Its own topic, without wildcards; <c>null</c>: none was told.</param>
    /// <param name="payload">Its bytes.</param>
    /// <param name="now">The time now.</param>
    public static ListenResult OfMessage(GardenFile? garden, HeardMessages hearing, string? topic, byte[] payload, DateTimeOffset now)
    {
        hearing.Take(topic ?? AnyTopic, payload, retained: false, now);
        return Of(garden, hearing) with
        {
            // The reasons of the garden's own series matter most where one message is looked at.
            Read = garden is null || topic is null ? [] : ReadBy(garden, topic, payload, now),
        };
    }

    private static ListenResult Of(GardenFile? garden, HeardMessages hearing)
    {
        List<SeriesProposal> proposed = [];
        List<ReadAlready> read = [];
        List<LeftOut> others = [];
        var zone = garden?.Sites[0].Zone is { } local && local != TimeZoneInfo.Utc ? local.Id : null;
        foreach (var heard in hearing.Series)
        {
            var known = garden?.Series.Where(series => series.Topic == heard.Topic && series.Path == heard.Seen.Path).ToList() ?? [];
            if (known.Count > 0)
                read.AddRange(
                    known.SelectMany(
                        series =>
                            ReadBy(
                                garden!,
                                series.Topic,
                                heard.LastMessage.Payload,
                                heard.LastMessage.At).Where(one => one.Series.Path == series.Path && one.Series.SiteId == series.SiteId)));
            else if (SeriesProposal.Of(heard, hearing.UnitOf(heard.Topic), zone, out var whyNot) is { } proposal)
                proposed.Add(proposal);
            else
                others.Add(new LeftOut(heard.Topic, heard.Seen.Path, double.IsNaN(heard.Last) ? null : heard.Last, whyNot!));
        }

        others.AddRange(hearing.Silent.Select(one => new LeftOut(one.Topic, null, null, one.Reason)));
        return new ListenResult
        {
            Messages = hearing.Messages,
            Topics = hearing.Topics,
            OwnTopics = hearing.OwnTopics,
            IsCut = hearing.IsCut,
            Read = read,
            Proposed = proposed,
            Others = others,
        };
    }

    private static List<ReadAlready> ReadBy(GardenFile garden, string topic, ReadOnlyMemory<byte> payload, DateTimeOffset at)
    {
        List<SeriesMap> series = [.. garden.Series.Where(one => one.Topic == topic)];
        if (series.Count == 0)
            return [];
        var result = new PayloadMap(series).Read(topic, payload, at, retained: false);
        return
        [
            .. series.Select(one =>
            {
                var readings = result.Readings.Where(reading => reading.Series.Name == one.Name).ToList();
                List<Sentence> remarks =
                    [.. result.Remarks.Where(remark => remark.Series == one.Name || remark.Series is null).Select(remark => remark.Reason)];
                double? value = readings.Count > 0 ? readings[^1].Reading.Value : null;
                if (value is { } number && Weather.QualityControl.Judge(one.Quantity, number, out _) is var verdict and (
                    not Weather.QualityVerdict.Good and not Weather.QualityVerdict.Clamped))
                    remarks.Add(Weather.QualityControl.Why(one.Quantity, number, verdict, garden.Units));
                return new ReadAlready(one, value, remarks);
            }),
        ];
    }
}
