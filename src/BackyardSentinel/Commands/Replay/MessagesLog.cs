using BackyardSentinel.Configuration;
using BackyardSentinel.Live;
using BackyardSentinel.Logs;
using BackyardSentinel.Sensors;
using BackyardSentinel.Storage;

namespace BackyardSentinel.Commands.Replay;

/// <summary>Reads raw messages through the maps of a garden file, as the service reads them when they come.</summary>
internal static class MessagesLog
{
    /// <summary>Reads files, in the order in which the messages came.</summary>
    /// <param name="paths">The files.</param>
    /// <param name="garden">The garden whose series say how to read them.</param>
    /// <param name="site">The site whose readings are taken.</param>
    /// <param name="from">Readings before this are left out.</param>
    /// <param name="to">Readings at or after this are left out.</param>
    /// <exception cref="LogProblemException">A file cannot be read.</exception>
    public static SeasonLog Read(IReadOnlyList<string> paths, GardenFile garden, string site, DateTimeOffset from, DateTimeOffset to)
    {
        List<RejectedRow> rejected = [];
        List<(LoggedMessage Message, int File)> messages = [];
        for (var i = 0; i < paths.Count; i++)
        {
            var file = i;
            messages.AddRange(MessagesFile.Read(paths[i], rejected.Add).Select(message => (message, file)));
        }

        var rows = messages.Count + rejected.Count;

        var map = new PayloadMap(garden.Series);
        var stamps = new Stamps(0);
        List<LoggedReading> readings = [];
        // The sort is stable: messages of one moment stay in the order in which they were written.
        foreach (var (message, place) in messages.OrderBy(one => one.Message.Time))
        {
            var result = map.Read(message.Topic, message.Payload, message.Time, message.Retained, message.Redelivered);
            foreach (var (sensor, reading, _) in result.Readings)
            {
                // As the store keeps it: in whole milliseconds, each with a moment of arrival of its own.
                var time = DateTimeOffset.FromUnixTimeMilliseconds(reading.Time.ToUnixTimeMilliseconds());
                var kept = reading with { Time = time, Rank = sensor.Rank };
                var stamp = StoredTime.ToMoment(stamps.Next(message.Time));
                if (sensor.SiteId == site)
                    readings.Add(new LoggedReading(sensor.Sensed(kept, stamp), place, message.Line));
            }

            if (result.QuarantineReason is { } reason)
                rejected.Add(new RejectedRow(paths[place], message.Line, $"{LogExcerpt.Of(message.Topic)}: {reason}"));
        }

        return SeasonLog.OfList(paths, readings, [], rejected, rows, from, to);
    }
}
