namespace BackyardSentinel.PowerCuts;

/// <summary>One thing that SQLite asked of the disk, or that happened beside it.</summary>
internal abstract record DiskStep(string Path);

/// <summary>The file is there from now on.</summary>
internal sealed record Made(string Path) : DiskStep(Path);

/// <summary>Bytes were written.</summary>
internal sealed record Written(string Path, long At, byte[] Bytes) : DiskStep(Path);

/// <summary>The file was cut to a length.</summary>
internal sealed record CutTo(string Path, long Length) : DiskStep(Path);

/// <summary>What was written to the file before is on the disk when this returns.</summary>
internal sealed record Synced(string Path) : DiskStep(Path);

/// <summary>The file is gone from now on.</summary>
/// <param name="Path">Which.</param>
/// <param name="IsSynced">The disk has the folder without it when this returns.</param>
internal sealed record Removed(string Path, bool IsSynced) : DiskStep(Path);

/// <summary>Something was promised: whatever state has this number must be what is found from here on.</summary>
internal sealed record Promised(int State) : DiskStep("");
