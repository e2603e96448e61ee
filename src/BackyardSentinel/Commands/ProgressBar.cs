namespace BackyardSentinel.Commands;

/// <summary>A progress bar on standard error, only where that is a terminal.</summary>
public sealed class ProgressBar : IDisposable
{
    private const int Width = 40;
    private readonly long _total;
    private int _shown = -1;

    private ProgressBar(long total) => _total = total;

    /// <summary>A bar over the bytes of some files.</summary>
    public static ProgressBar For(IEnumerable<string> paths) =>
        new(Console.IsErrorRedirected ? 0 : paths.Where(File.Exists).Sum(path => new FileInfo(path).Length));

    /// <summary>Shows how much has been read.</summary>
    public void Show(long done)
    {
        if (_total == 0)
            return;
        var percent = (int)Math.Clamp(done * 100 / _total, 0, 100);
        if (percent == _shown)
            return;
        _shown = percent;
        Console.Error.Write($"\r[{new string('#', percent * Width / 100).PadRight(Width, '.')}] {percent} %");
    }

    /// <summary>Wipes the bar.</summary>
    public void Dispose()
    {
        if (_shown >= 0)
            Console.Error.Write($"\r{"",50}\r");
        _shown = -1;
    }
}
