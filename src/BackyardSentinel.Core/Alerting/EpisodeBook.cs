namespace BackyardSentinel.Alerting;

/// <summary>Remembers how far each episode and each subject has been taken up, so that nothing is told twice.</summary>
internal sealed class EpisodeBook(TimeSpan repeatAfter)
{
    private readonly Dictionary<string, int> _episodes = [];
    private readonly Dictionary<string, (DateTimeOffset LastSeen, int Rung)> _subjects = [];
    private readonly Dictionary<string, DateTimeOffset> _putOff = [];

    /// <summary>Takes up an occasion, or says why it is no news.</summary>
    public DropReason? TakeUp(Occasion occasion, DateTimeOffset seenAt)
    {
        var told = _episodes.TryGetValue(occasion.Episode, out var rung) && occasion.Rung <= rung;
        var recent = _subjects.TryGetValue(occasion.Subject, out var subject) && seenAt - subject.LastSeen < repeatAfter;
        // Every sighting counts as flapping going on, also one that is not told.
        var highest = recent ? Math.Max(subject.Rung, occasion.Rung) : occasion.Rung;
        _subjects[occasion.Subject] = (seenAt, highest);
        if (told)
            return DropReason.TakenUp;
        if (recent && occasion.Rung <= subject.Rung)
            return DropReason.Flapping;
        _episodes[occasion.Episode] = occasion.Rung;
        return null;
    }

    /// <summary>What was taken up came to nothing before it was told: it is news when it comes again.</summary>
    public void GiveBack(Occasion occasion)
    {
        _episodes[occasion.Episode] = occasion.Rung - 1;
        _subjects[occasion.Subject] = (_subjects[occasion.Subject].LastSeen, occasion.Rung - 1);
    }

    /// <summary>An alert of this episode may have been seen.</summary>
    public bool Knows(string episode) => _episodes.ContainsKey(episode);

    /// <summary>Nothing of the episode goes out before this moment.</summary>
    public void PutOffUntil(string episode, DateTimeOffset until) => _putOff[episode] = until;

    /// <summary>Until when the episode is put off, if it still is.</summary>
    public DateTimeOffset? WaitsUntil(string episode, DateTimeOffset at) =>
        _putOff.TryGetValue(episode, out var until) && until > at ? until : null;
}
