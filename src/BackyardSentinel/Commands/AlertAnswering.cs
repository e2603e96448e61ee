using BackyardSentinel.Configuration;
using BackyardSentinel.Delivery;
using BackyardSentinel.Hosting;
using BackyardSentinel.Storage;

namespace BackyardSentinel.Commands;

/// <summary>Writes the grower's answer to an alert into the store, where the service finds it within a second.</summary>
internal static class AlertAnswering
{
    /// <summary>The longest snooze, as by MQTT.</summary>
    public static readonly TimeSpan LongestSnooze = TimeSpan.FromDays(30);

    /// <summary>Answers an alert by its id or its episode; a summary is answered for everything that it lists.</summary>
    /// <param name="garden">The garden.</param>
    /// <param name="which">An id or an episode.</param>
    /// <param name="snooze">How long to snooze; <c>null</c>: it is acknowledged.</param>
    /// <param name="now">Now.</param>
    /// <param name="output">Where to tell it.</param>
    /// <exception cref="AlertProblemException">No such alert is known.</exception>
    public static int Run(GardenFile garden, string which, TimeSpan? snooze, DateTimeOffset now, TextWriter output)
    {
        var episodes = File.Exists(garden.Store.Path) ? Episodes(garden.Store.Path, which) : [];
        if (episodes.Count == 0)
            throw new AlertProblemException($"No alert has the id or the episode \"{which}\", so there is nothing to answer; 'alert list --all' shows all there are.");
        using var book = AnswerBook.Open(garden.Store.Path);
        var until = now + snooze;
        foreach (var episode in episodes)
        {
            book.Add(episode, until is null ? "acknowledge" : "snooze", until, now);
            output.Write(until is { } end
                ? $"Snoozed until {AlertListText.Local(end.ToUnixTimeMilliseconds(), garden.Sites[0].Zone)}: {episode}. What comes up of it waits so long.\n"
                : $"Acknowledged: {episode}. Nothing more of it unless it rises.\n");
        }

        return ExitCode.Done;
    }

    private static IReadOnlyList<string> Episodes(string store, string which)
    {
        using var outbox = AlertListing.OpenOutbox(store);
        var rows = outbox.Rows();
        var row = rows.FirstOrDefault(one => one.Id == which) ?? rows.FirstOrDefault(one => one.Episode == which);
        return row is null ? [] : AlertJson.Read(row.Message) is { } message ? AlertWiringFacts.EpisodesOf(message) : [row.Episode];
    }
}
