using BackyardSentinel.Alerting;
using BackyardSentinel.Events;
using BackyardSentinel.Garden;

namespace BackyardSentinel.Watching;

/// <summary>
/// Takes the facts of all sites to the alert policy. Live, after a restart and in a replay it sees the same facts in the
/// same order, and so gives the same alerts with the same ids.
/// </summary>
/// <param name="options">How much a phone may be asked to bear.</param>
/// <param name="onDecision">Told each decision, with its reason.</param>
public sealed class AlertDesk(AlertPolicyOptions options, Action<Decision> onDecision)
{
    private readonly AlertPolicy _policy = new(options);

    /// <summary>A site's watch told a fact.</summary>
    public void Note(SentinelEvent fact, Site site, IReadOnlyList<PlantingWatch> plantings)
    {
        AdvanceTo(fact.At);
        if (OccasionOf.Fact(fact, site, plantings) is { } occasion)
            Consider(occasion);
    }

    /// <summary>Something came about beside the pipeline: a silent sensor, a slot for spraying, a full disk.</summary>
    public void Consider(Occasion occasion) => onDecision(_policy.Consider(occasion));

    /// <summary>Time passed.</summary>
    public void AdvanceTo(DateTimeOffset now)
    {
        // Asked at each minute of a season, and mostly in vain: without an enumerator.
        var decisions = _policy.AdvanceTo(now);
        for (var i = 0; i < decisions.Count; i++)
            onDecision(decisions[i]);
    }

    /// <summary>The grower answered an alert.</summary>
    /// <returns>What that does, as a sentence.</returns>
    public string Answer(Answer answer) => _policy.Answer(answer);
}
