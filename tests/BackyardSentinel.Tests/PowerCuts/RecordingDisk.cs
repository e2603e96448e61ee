using System.Runtime.CompilerServices;
using System.Runtime.InteropServices;

namespace BackyardSentinel.PowerCuts;

/// <summary>
/// Stands between SQLite and the disk: writes down every write, cut, sync and removal of the files in the folders that are watched,
/// and can let one fail. Everything else goes on to where it went before, untouched.
/// </summary>
/// <remarks>
/// A VFS of SQLite (sqlite.org/vfs.html; sqlite3.h: sqlite3_vfs version 3, sqlite3_io_methods version 3). It takes the functions of the
/// system's own VFS and puts four of a file's and two of the VFS's in their place.
/// </remarks>
internal static unsafe class RecordingDisk
{
    private const int VfsBytes = 168, MethodsBytes = 152, NameAt = 24, NextAt = 16, OpenAt = 40, DeleteAt = 48;
    private const int CloseAt = 8, WriteAt = 24, TruncateAt = 32, SyncAt = 40;

    private static readonly Lock Gate = new();
    private static readonly List<Recording> Watched = [];
    private static readonly Dictionary<nint, (Recording Recording, string Path, nint Methods)> Files = [];
    private static readonly Dictionary<nint, nint> OurMethods = [];
    private static nint _system;

    /// <summary>What is asked of the files of one folder, from its beginning to its disposal.</summary>
    public static Recording Watch(string folder)
    {
        lock (Gate)
        {
            if (_system == 0)
                Register();
            var recording = new Recording(folder);
            Watched.Add(recording);
            return recording;
        }
    }

    internal static void Forget(Recording recording)
    {
        lock (Gate)
            Watched.Remove(recording);
    }

    private static void Register()
    {
        using (var any = new Microsoft.Data.Sqlite.SqliteConnection("Data Source=:memory:"))
            any.Open(); // Only now is the library loaded.
        _system = Find(0);
        var ours = (nint)NativeMemory.Alloc(VfsBytes);
        Buffer.MemoryCopy((void*)_system, (void*)ours, VfsBytes, VfsBytes);
        Set(ours, NextAt, 0);
        Set(ours, NameAt, Marshal.StringToCoTaskMemUTF8("recording"));
        Set(ours, OpenAt, (nint)(delegate* unmanaged[Cdecl]<nint, nint, nint, int, nint, int>)&Open);
        Set(ours, DeleteAt, (nint)(delegate* unmanaged[Cdecl]<nint, nint, int, int>)&Delete);
        if (Add(ours, 1) != 0)
            throw new InvalidOperationException("SQLite takes no VFS.");
    }

    [UnmanagedCallersOnly(CallConvs = [typeof(CallConvCdecl)])]
    private static int Open(nint vfs, nint name, nint file, int flags, nint flagsOut)
    {
        var path = name == 0 ? null : Marshal.PtrToStringUTF8(name);
        lock (Gate)
        {
            var recording = Of(path);
            var isNew = recording is not null && !File.Exists(path);
            var open = (delegate* unmanaged[Cdecl]<nint, nint, nint, int, nint, int>)Get(_system, OpenAt);
            var result = open(vfs, name, file, flags, flagsOut);
            if (recording is null || result != 0)
                return result;
            if (isNew)
                recording.Add(new Made(path!));
            var methods = Get(file, 0);
            Files[file] = (recording, path!, methods);
            Set(file, 0, Ours(methods));
            return result;
        }
    }

    [UnmanagedCallersOnly(CallConvs = [typeof(CallConvCdecl)])]
    private static int Delete(nint vfs, nint name, int isSynced)
    {
        var path = Marshal.PtrToStringUTF8(name);
        lock (Gate)
        {
            var recording = Of(path);
            var step = new Removed(path!, isSynced != 0);
            if (recording is not null && recording.Fails(step) is > 0 and var failure)
                return failure;
            var isThere = File.Exists(path);
            var result = ((delegate* unmanaged[Cdecl]<nint, nint, int, int>)Get(_system, DeleteAt))(vfs, name, isSynced);
            if (result == 0 && isThere)
                recording?.Add(step);
            return result;
        }
    }

    [UnmanagedCallersOnly(CallConvs = [typeof(CallConvCdecl)])]
    private static int Close(nint file)
    {
        lock (Gate)
        {
            Files.Remove(file, out var known);
            Set(file, 0, known.Methods);
            return ((delegate* unmanaged[Cdecl]<nint, int>)Get(known.Methods, CloseAt))(file);
        }
    }

    [UnmanagedCallersOnly(CallConvs = [typeof(CallConvCdecl)])]
    private static int Write(nint file, void* bytes, int count, long at)
    {
        lock (Gate)
        {
            var known = Files[file];
            var step = new Written(known.Path, at, new ReadOnlySpan<byte>(bytes, count).ToArray());
            var write = (delegate* unmanaged[Cdecl]<nint, void*, int, long, int>)Get(known.Methods, WriteAt);
            var failure = known.Recording.Fails(step);
            // What is half written is on the disk; the error is told all the same.
            if (failure < 0)
                write(file, bytes, count / 2, at);
            return failure != 0 ? Math.Abs(failure) : known.Recording.Do(step, write(file, bytes, count, at));
        }
    }

    [UnmanagedCallersOnly(CallConvs = [typeof(CallConvCdecl)])]
    private static int Truncate(nint file, long length)
    {
        lock (Gate)
        {
            var known = Files[file];
            var step = new CutTo(known.Path, length);
            return known.Recording.Fails(step) is > 0 and var failure
                ? failure
                : known.Recording.Do(step, ((delegate* unmanaged[Cdecl]<nint, long, int>)Get(known.Methods, TruncateAt))(file, length));
        }
    }

    [UnmanagedCallersOnly(CallConvs = [typeof(CallConvCdecl)])]
    private static int Sync(nint file, int flags)
    {
        lock (Gate)
        {
            var known = Files[file];
            var step = new Synced(known.Path);
            return known.Recording.Fails(step) is > 0 and var failure
                ? failure
                : known.Recording.Do(step, ((delegate* unmanaged[Cdecl]<nint, int, int>)Get(known.Methods, SyncAt))(file, flags));
        }
    }

    private static Recording? Of(string? path) =>
        path is null ? null : Watched.Find(one => path.StartsWith(one.Folder, StringComparison.Ordinal));

    private static nint Ours(nint methods)
    {
        if (OurMethods.TryGetValue(methods, out var ours))
            return ours;
        ours = (nint)NativeMemory.Alloc(MethodsBytes);
        Buffer.MemoryCopy((void*)methods, (void*)ours, MethodsBytes, MethodsBytes);
        Set(ours, CloseAt, (nint)(delegate* unmanaged[Cdecl]<nint, int>)&Close);
        Set(ours, WriteAt, (nint)(delegate* unmanaged[Cdecl]<nint, void*, int, long, int>)&Write);
        Set(ours, TruncateAt, (nint)(delegate* unmanaged[Cdecl]<nint, long, int>)&Truncate);
        Set(ours, SyncAt, (nint)(delegate* unmanaged[Cdecl]<nint, int, int>)&Sync);
        return OurMethods[methods] = ours;
    }

    private static nint Get(nint record, int at) => *(nint*)(record + at);

    private static void Set(nint record, int at, nint value) => *(nint*)(record + at) = value;

    [DllImport("e_sqlite3", EntryPoint = "sqlite3_vfs_find", CallingConvention = CallingConvention.Cdecl)]
    private static extern nint Find(nint name);

    [DllImport("e_sqlite3", EntryPoint = "sqlite3_vfs_register", CallingConvention = CallingConvention.Cdecl)]
    private static extern int Add(nint vfs, int isDefault);
}

/// <summary>What was asked of the files of one folder.</summary>
internal sealed class Recording(string folder) : IDisposable
{
    public string Folder { get; } = folder;

    public List<DiskStep> Steps { get; } = [];

    /// <summary>Lets a step fail with an error code of SQLite, a negative one after half of a write; 0: it may go on.</summary>
    public Func<DiskStep, int>? Fault { get; set; }

    public void Add(DiskStep step) => Steps.Add(step);

    public void Dispose() => RecordingDisk.Forget(this);

    internal int Fails(DiskStep step) => Fault?.Invoke(step) ?? 0;

    internal int Do(DiskStep step, int result)
    {
        if (result == 0)
            Add(step);
        return result;
    }
}
