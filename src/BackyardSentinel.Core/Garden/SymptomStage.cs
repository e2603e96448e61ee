namespace BackyardSentinel.Garden;

/// <summary>How far leaf curl has gone on the leaves that show it.</summary>
public enum SymptomStage
{
    /// <summary>Reddish, thickened, puckered spots on opening leaves.</summary>
    Puckered = 1,

    /// <summary>Pale yellow, curled, brittle.</summary>
    Curled = 2,

    /// <summary>Grey-white velvety bloom: spores are shed.</summary>
    WhiteBloom = 3,

    /// <summary>Brown, shrivelled, dropping.</summary>
    Dropping = 4,
}
