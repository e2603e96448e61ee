using BackyardSentinel.Commands.Replay;
using BackyardSentinel.Infection;

namespace BackyardSentinel.Tests.Commands;

/// <summary>A folder of logs, and what is to come of the usual one.</summary>
public abstract class ReplayInputBench : IDisposable
{
    private protected LogFolder Folder { get; } = new();

    public void Dispose()
    {
        Folder.Dispose();
        GC.SuppressFinalize(this);
    }

    protected static ReplayResult Judge(string path) => Replay.Run(LogFolder.Site, [path], LogFolder.Hourly);

    protected static string Changed(int hour, string row) =>
        LogFolder.Lines([LogFolder.Header, .. LogFolder.Rows().Select((usual, i) => i == hour ? row : usual)]);

    /// <summary>The spell of <see cref="LogFolder.Text"/>, and nothing refused.</summary>
    protected static void AssertUsual(ReplayResult result)
    {
        Assert.Empty(result.Rejected);
        Assert.Equal(
            new WetSpell(LogFolder.Start, LogFolder.Start.AddHours(16), 16, 4.5, 9.5, 9.5, 9.5, false, false),
            Assert.Single(result.Spells));
    }

    protected static void AssertRejected(ReplayResult result, long line, string reason)
    {
        var row = Assert.Single(result.Rejected);
        Assert.Equal((line, reason), (row.Line, row.Reason));
        Assert.Equal(1, result.RejectedCount);
    }
}
