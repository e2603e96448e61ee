namespace BackyardSentinel.PowerCuts;

/// <summary>What a power cut may do to writes that no sync has followed yet.</summary>
internal enum Unsynced
{
    /// <summary>None has reached the disk.</summary>
    Lost,

    /// <summary>All have.</summary>
    Kept,

    /// <summary>Some have, whatever their order.</summary>
    SomeKept,

    /// <summary>Of each some sectors of 512 bytes have.</summary>
    TornAtSectors,

    /// <summary>Of each some blocks of 4 KiB have.</summary>
    TornAtBlocks,

    /// <summary>The first have, and the last of these in part.</summary>
    CutOff,
}

/// <summary>
/// What a disk may hold after a power cut: what was synced surely, of the rest what chance says. Names of files are kept in the order in
/// which they were given and taken, up to some point: a folder is on the disk once a journal that is new in it was synced, or a name
/// was taken with a sync.
/// </summary>
/// <remarks>
/// The folder is taken for less safe than it is with common file systems, which keep a new file's name with its first sync. A sector is
/// written whole or not at all, and bytes beside a write stay (SQLITE_IOCAP_POWERSAFE_OVERWRITE, as SQLite itself takes it).
/// </remarks>
internal sealed class Platter
{
    private readonly Dictionary<string, Content> _names = [];
    private readonly Dictionary<string, Content> _durable = [];
    private readonly List<(string Path, Content? Now)> _unsyncedNames = [];

    /// <summary>Begins with files that are safe on the disk.</summary>
    /// <param name="files">The files.</param>
    /// <param name="promised">The state that they hold; -1: none.</param>
    public Platter(IEnumerable<(string Path, byte[] Bytes)> files, int promised)
    {
        Promised = promised;
        foreach (var (path, bytes) in files)
            _names[path] = _durable[path] = new Content(bytes) { IsOld = true };
    }

    /// <summary>The last state that was promised; -1: none.</summary>
    public int Promised { get; private set; }

    /// <summary>One step more.</summary>
    public void Take(DiskStep step)
    {
        switch (step)
        {
            case Made made:
                Name(made.Path, new Content([]));
                break;
            case Removed removed:
                Name(removed.Path, null);
                if (removed.IsSynced)
                    KeepNames();
                break;
            case Synced synced:
                var content = Named(synced.Path);
                content.Keep();
                if (!content.IsOld && IsJournal(synced.Path))
                    KeepNames();
                content.IsOld = true;
                break;
            case Promised promised:
                Promised = promised.State;
                break;
            default:
                Named(step.Path).Unsynced.Add(step);
                break;
        }
    }

    /// <summary>What is found after the power has come back.</summary>
    public Dictionary<string, byte[]> AfterCut(Unsynced how, Random random)
    {
        var names = new Dictionary<string, Content>(_durable);
        var kept = how switch { Unsynced.Lost => 0, Unsynced.Kept => _unsyncedNames.Count, _ => random.Next(_unsyncedNames.Count + 1) };
        foreach (var (path, now) in _unsyncedNames.Take(kept))
        {
            if (now is null)
                names.Remove(path);
            else
                names[path] = now;
        }

        return names.ToDictionary(one => one.Key, one => one.Value.AfterCut(how, random));
    }

    /// <summary>A file that is not known yet was made by somebody else.</summary>
    private Content Named(string path)
    {
        if (!_names.ContainsKey(path))
            Name(path, new Content([]));
        return _names[path];
    }

    private void Name(string path, Content? now)
    {
        if (now is null)
            _names.Remove(path);
        else
            _names[path] = now;
        _unsyncedNames.Add((path, now));
    }

    private static bool IsJournal(string path) =>
        path.EndsWith("-wal", StringComparison.Ordinal) || path.EndsWith("-journal", StringComparison.Ordinal);

    private void KeepNames()
    {
        foreach (var (path, now) in _unsyncedNames)
        {
            if (now is null)
                _durable.Remove(path);
            else
                _durable[path] = now;
        }

        _unsyncedNames.Clear();
    }

    private sealed class Content(byte[] durable)
    {
        private byte[] _durable = durable;

        public List<DiskStep> Unsynced { get; } = [];

        /// <summary>It was synced before.</summary>
        public bool IsOld { get; set; }

        public void Keep()
        {
            foreach (var step in Unsynced)
                _durable = Apply(_durable, step);
            Unsynced.Clear();
        }

        public byte[] AfterCut(Unsynced how, Random random)
        {
            var bytes = (byte[])_durable.Clone();
            var end = how == PowerCuts.Unsynced.CutOff ? random.Next(Unsynced.Count + 1) : Unsynced.Count;
            for (var i = 0; i < Unsynced.Count; i++)
            {
                var step = Unsynced[i];
                var isWhole = how switch
                {
                    PowerCuts.Unsynced.Lost => false,
                    PowerCuts.Unsynced.Kept => true,
                    PowerCuts.Unsynced.CutOff => i < end,
                    _ when step is Written && how != PowerCuts.Unsynced.SomeKept => false,
                    _ => random.Next(2) == 0,
                };
                if (isWhole)
                    bytes = Apply(bytes, step);
                else if (step is Written torn && (IsTorn(how) || (how == PowerCuts.Unsynced.CutOff && i == end)))
                    bytes = Torn(bytes, torn, how, random);
            }

            return bytes;
        }

        private static bool IsTorn(Unsynced how) => how is PowerCuts.Unsynced.TornAtSectors or PowerCuts.Unsynced.TornAtBlocks;

        private static byte[] Torn(byte[] bytes, Written write, Unsynced how, Random random)
        {
            var unit = how == PowerCuts.Unsynced.TornAtBlocks ? 4096 : 512;
            var last = how == PowerCuts.Unsynced.CutOff ? random.Next(write.Bytes.Length / unit + 1) : int.MaxValue;
            for (long at = write.At, number = 0; at < write.At + write.Bytes.Length; number++)
            {
                var next = Math.Min(((at / unit) + 1) * unit, write.At + write.Bytes.Length);
                if (how == PowerCuts.Unsynced.CutOff ? number < last : random.Next(2) == 0)
                    bytes = Apply(bytes, new Written(write.Path, at, write.Bytes[(int)(at - write.At)..(int)(next - write.At)]));
                at = next;
            }

            return bytes;
        }

        private static byte[] Apply(byte[] bytes, DiskStep step)
        {
            if (step is CutTo cut)
            {
                Array.Resize(ref bytes, (int)cut.Length);
                return bytes;
            }

            var write = (Written)step;
            if (bytes.Length < write.At + write.Bytes.Length)
                Array.Resize(ref bytes, (int)(write.At + write.Bytes.Length));
            write.Bytes.CopyTo(bytes, write.At);
            return bytes;
        }
    }
}
