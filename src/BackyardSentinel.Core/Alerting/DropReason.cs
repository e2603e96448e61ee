namespace BackyardSentinel.Alerting;

/// <summary>Why an occasion is not told by itself.</summary>
public enum DropReason
{
    /// <summary>It is of no use any more.</summary>
    Past,

    /// <summary>The level turned unknown: the silent sensor behind it is told.</summary>
    MissingData,

    /// <summary>The level fell.</summary>
    LevelFell,

    /// <summary>The level is below the least one that the grower wants told.</summary>
    BelowLeastLevel,

    /// <summary>The buds may still be shut: one level a spell and one in seven days.</summary>
    BudsMayBeShut,

    /// <summary>A possible level past petal fall.</summary>
    PossibleOnDeclining,

    /// <summary>A possible level within seven days after another.</summary>
    PossibleTooSoon,

    /// <summary>The episode has been taken up at this rung or a higher one.</summary>
    TakenUp,

    /// <summary>The same subject came up a short while before.</summary>
    Flapping,

    /// <summary>A higher rung of the same subject takes its place.</summary>
    HigherRung,

    /// <summary>The last chance to spray asks for the same look at the buds.</summary>
    LookInLastChance,

    /// <summary>The grower has seen the episode.</summary>
    Seen,

    /// <summary>The sensor has spoken since.</summary>
    SpokenSince,

    /// <summary>It spoke again before its silence was told.</summary>
    SpokeAgain,

    /// <summary>It fell silent again before its return was told.</summary>
    SilentAgain,

    /// <summary>A silence has been told and its return has not, so it goes on.</summary>
    SilenceGoesOn,

    /// <summary>A return from a silence that was not told.</summary>
    SilenceNotTold,

    /// <summary>Told together with the other sensors of its hub.</summary>
    ToldAsHub,

    /// <summary>The hub is silent, and that is told once.</summary>
    HubSilent,

    /// <summary>The hub's return waits to be told.</summary>
    HubReturns,
}

/// <summary>The reasons in words.</summary>
public static class DropReasons
{
    /// <summary>The reason as a clause without a full stop.</summary>
    /// <param name="reason">The reason.</param>
    public static string Clause(this DropReason reason) => reason switch
    {
        DropReason.Past => "it is of no use any more",
        DropReason.MissingData => "missing data are told as a silent sensor, not as a level",
        DropReason.LevelFell => "a fall of the level is not told",
        DropReason.BelowLeastLevel => "it is below the least level that is told",
        DropReason.BudsMayBeShut => "the buds may still be shut: one level a spell and one in seven days",
        DropReason.PossibleOnDeclining => "it is only a possible level, on tissue past petal fall",
        DropReason.PossibleTooSoon => "it is only a possible level, within seven days after another",
        DropReason.TakenUp => "this episode has been taken up at this rung or a higher one",
        DropReason.Flapping => "the same came up a short while before: it flaps",
        DropReason.HigherRung => "a higher rung of the same takes its place",
        DropReason.LookInLastChance => "the last chance to spray asks for the same look",
        DropReason.Seen => "the grower has seen it",
        DropReason.SpokenSince => "it has spoken since",
        DropReason.SpokeAgain => "it spoke again before its silence was told",
        DropReason.SilentAgain => "it fell silent again before its return was told",
        DropReason.SilenceGoesOn => "its silence was told and its return was not",
        DropReason.SilenceNotTold => "its silence was not told",
        DropReason.ToldAsHub => "it is told together with the others of its hub",
        DropReason.HubSilent => "its hub is silent, which is told once",
        DropReason.HubReturns => "the return of its hub is told",
    };
}
