namespace BackyardSentinel.Configuration.Keys;

/// <summary>Keys that had another name in earlier versions. They are refused, and the message has the new name.</summary>
internal static class RenamedKeys
{
    private static readonly (string Section, string Old, string New)[] All =
    [
        ("garden", "receivers", "send_to"),
        ("garden", "spray_units", "units"),
        ("broker", "base_topic", "topic_root"),
        ("site", "alert_rule", "level_rule"),
        ("site", "spray_units", "units"),
        ("alerts", "receivers", "send_to"),
        ("forecast", "source", "kind"),
        ("forecast", "name", "source"),
    ];

    /// <summary>What a key is called now, or <c>null</c> where it was never a key.</summary>
    public static string? NewName(GardenSection section, string old) =>
        Array.Find(All, one => one.Section == section.Name && one.Old == old).New;

    /// <summary>What a key was called before, or <c>null</c>.</summary>
    public static string? OldName(GardenSection section, string name) =>
        Array.Find(All, one => one.Section == section.Name && one.New == name).Old;
}
