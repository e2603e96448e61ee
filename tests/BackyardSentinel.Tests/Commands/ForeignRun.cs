using System.Diagnostics;
using BackyardSentinel.Proofs;

namespace BackyardSentinel.Tests.Commands;

/// <summary>The program as a process of its own, in another language and zone.</summary>
internal static class ForeignRun
{
    /// <summary>The bytes that it writes; it must end with the code that is expected.</summary>
    public static async Task<byte[]> OutputAsync(
        string culture, string zone, int expected, IEnumerable<string> arguments, string folder = "")
    {
        var start = BuiltProgram.With(arguments);
        start.WorkingDirectory = folder;
        (start.Environment["LANG"], start.Environment["LC_ALL"], start.Environment["TZ"]) = (culture, culture, zone);

        using var process = Process.Start(start)!;
        var errors = process.StandardError.ReadToEndAsync(TestContext.Current.CancellationToken);
        using var output = new MemoryStream();
        await process.StandardOutput.BaseStream.CopyToAsync(output, TestContext.Current.CancellationToken);
        await process.WaitForExitAsync(TestContext.Current.CancellationToken);
        Assert.True(process.ExitCode == expected, $"{process.ExitCode}: {await errors}");
        return output.ToArray();
    }
}
