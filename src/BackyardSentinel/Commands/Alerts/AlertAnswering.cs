using BackyardSentinel.Configuration;
using BackyardSentinel.Contract;
using BackyardSentinel.Storage;

namespace BackyardSentinel.Commands.Alerts;

/// <summary>Writes the grower's answer to an alert into the store, where the service finds it within a second.</summary>
internal static class AlertAnswering
{
    /// <summary>The longest wait, as by MQTT.</summary>
    public static readonly TimeSpan LongestWait = TimeSpan.FromDays(30);

    /// <summary>Answers an alert by its id or its episode; a summary is answered for everything that it lists.</summary>
    /// <param name="garden">The garden.</param>
    /// <param name="which">An id or an episode.</param>
    /// <param name="wait">How long it waits; <c>null</c>: the grower has seen it.</param>
    /// <param name="now">Now.</param>
    /// <param name="output">Where to tell it.</param>
    /// <exception cref="CommandProblemException">No such alert is known.</exception>
    public static int Run(GardenFile garden, string which, TimeSpan? wait, DateTimeOffset now, TextWriter output)
    {
        var episodes = File.Exists(garden.Store.Path) ? Episodes(garden.Store.Path, which) : [];
        if (episodes.Count == 0)
            throw new CommandProblemException(
                $"No alert has the id or the episode \"{which}\", so there is nothing to answer; 'alert list --all' shows all there are.");
        using var book = AnswerBook.Open(garden.Store.Path);
        var until = now + wait;
        foreach (var episode in episodes)
        {
            book.Add(episode, until is null ? "seen" : "later", until, now);
            output.Write(
                until is { } end
                    ? $"Put off until {AlertListText.Local(end.ToUnixTimeMilliseconds(), garden.Sites[0].Zone)}: {episode}. "
                        + "Anything new about it waits until then.\n"
                    : $"Seen: {episode}. You will hear no more about it unless it gets worse.\n");
        }

        return ExitCode.Done;
    }

    private static IReadOnlyList<string> Episodes(string store, string which)
    {
        using var outbox = OutboxStore.Reading(store);
        var rows = outbox.Rows();
        var row = rows.FirstOrDefault(one => one.Id == which) ?? rows.FirstOrDefault(one => one.Episode == which);
        return row is null ? [] : AlertJson.Read(row.Message) is { } message ? message.Episodes : [row.Episode];
    }
}
