namespace BackyardSentinel.Guards;

/// <summary>Whether this computer's clock has been set over the network.</summary>
public static class TimeServer
{
    /// <summary>
    /// systemd-timesyncd touches it each time it has set the clock; it is gone after a restart of the computer
    /// (systemd-timesyncd.service(8), from memory).
    /// </summary>
    private const string Synchronized = "/run/systemd/timesync/synchronized";

    /// <summary>
    /// The clock has been set since the computer was started. Where another program sets it that is not known, and not said.
    /// </summary>
    public static bool HasSetClock() => File.Exists(Synchronized);
}
