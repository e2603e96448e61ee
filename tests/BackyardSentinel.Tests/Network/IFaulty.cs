namespace BackyardSentinel.Network;

/// <summary>What stands between the service and somebody else, and can be made bad.</summary>
internal interface IFaulty
{
    /// <summary>Something that was sent waits here for time to pass.</summary>
    bool Holds { get; }

    /// <summary>Begins a fault; <see cref="LineFault.None"/> heals it.</summary>
    void Set(LineFault fault);
}
