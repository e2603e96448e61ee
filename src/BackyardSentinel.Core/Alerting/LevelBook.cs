using BackyardSentinel.Infection;

namespace BackyardSentinel.Alerting;

/// <summary>
/// Keeps what a phone is told of levels bearable. On buds that may still be shut one level a spell and one in seven days; a
/// possible level not within seven days after any, nor on declining tissue. Likely and severe ones on open buds always go
/// out. The days are ASSUMED.
/// </summary>
internal sealed class LevelBook
{
    private static readonly TimeSpan Quiet = TimeSpan.FromDays(7);

    private readonly Dictionary<string, (DateTimeOffset At, DateTimeOffset SpellStart)> _told = new(StringComparer.Ordinal);

    /// <summary>Why a level is not told; <c>null</c> where it may be.</summary>
    public DropReason? Refusal(Occasion occasion, DateTimeOffset now)
    {
        if (occasion is not LevelRisen risen)
            return null;
        var recent = _told.TryGetValue(KeyOf(risen), out var last) && now - last.At < Quiet;
        if (!risen.StageSure)
            return !recent && last.SpellStart != risen.SpellStart ? null : DropReason.BudsMayBeShut;

        if (risen.To > Level.Possible)
            return null;
        return risen.Declining ? DropReason.PossibleOnDeclining
            : recent && last.SpellStart != risen.SpellStart ? DropReason.PossibleTooSoon
            : null;
    }

    /// <summary>A level was taken up.</summary>
    public void Note(LevelRisen risen, DateTimeOffset now) => _told[KeyOf(risen)] = (now, risen.SpellStart);

    private static string KeyOf(LevelRisen risen) => $"{risen.Site}/{risen.Planting}";
}
