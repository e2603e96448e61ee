using BackyardSentinel.Configuration;
using BackyardSentinel.Storage;
using BackyardSentinel.Wording;

namespace BackyardSentinel.Commands.Alerts;

/// <summary>Writes the grower's answer to an alert into the store, where the service finds it within a second.</summary>
internal static class AlertAnswering
{
    /// <summary>Answers an alert by its id or its episode; a summary is answered for everything that it lists.</summary>
    /// <param name="garden">The garden.</param>
    /// <param name="which">An id or an episode.</param>
    /// <param name="wait">How long it waits; <c>null</c>: the grower has seen it.</param>
    /// <param name="now">Now.</param>
    /// <param name="output">Where to tell it.</param>
    /// <exception cref="CommandProblemException">No such alert is known.</exception>
    public static int Run(GardenFile garden, string which, TimeSpan? wait, DateTimeOffset now, TextWriter output)
    {
        if (!File.Exists(garden.Store.Path))
            throw Unknown(AnswerBook.NoAlert(which));
        using var book = AnswerBook.Open(garden.Store.Path);
        var until = now + wait;
        var (episodes, unknown) = book.Answer(which, until, now);
        if (unknown is not null)
            throw Unknown(unknown);
        foreach (var episode in episodes)
        {
            output.Write(
                until is { } end
                    ? $"Put off until {AlertListText.Local(end.ToUnixTimeMilliseconds(), garden.Sites[0].Zone)}: {episode}. "
                        + "Anything new about it waits until then.\n"
                    : $"Seen: {episode}. You will hear no more about it unless it gets worse.\n");
        }

        return ExitCode.Done;
    }

    private static CommandProblemException Unknown(Sentence reason) =>
        new($"{Sentence.Whole(reason.Text)} 'alert list --all' shows all there are.");
}
