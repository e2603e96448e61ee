namespace BackyardSentinel.Commands;

/// <summary>What a command's exit code means.</summary>
public static class ExitCode
{
    /// <summary>Done.</summary>
    public const int Done = 0;

    /// <summary>Done, with findings to look at.</summary>
    public const int Findings = 1;

    /// <summary>Bad usage or bad input.</summary>
    public const int BadInput = 2;

    /// <summary>Bad configuration, or a store that cannot be used and that no restart mends.</summary>
    public const int BadConfiguration = 78;
}
