using System.Diagnostics;
using BackyardSentinel.Commands;
using BackyardSentinel.Tests;

namespace BackyardSentinel.Proofs;

/// <summary>
/// Started by something that has closed what is written to, or that has no room for it. Only the native program is sure to have the places
/// of what was closed for itself.
/// </summary>
public sealed class ClosedStreamsTests
{
    private static string Garden => Checkout.Path("config", "garden.yaml");

    [Theory]
    [InlineData(">/dev/null 2>&-")]
    [InlineData(">&- 2>&-")]
    [InlineData("<&- >&- 2>&-")]
    public async Task What_is_closed_changes_no_exit_code(string closed) =>
        Assert.Equal((ExitCode.Done, ""), await ShellAsync($"check --garden '{Garden}' {closed}"));

    [Theory]
    [InlineData("2>&-", ExitCode.BadConfiguration)]
    [InlineData("2>/dev/full", ExitCode.BadInput)]
    public async Task A_failure_that_cannot_be_told_still_is_one(string errors, int code) =>
        Assert.Equal(code, (await ShellAsync($"check --garden /nowhere/garden.yaml {errors}")).Code);

    [Fact]
    public async Task Where_there_is_no_room_for_the_answer_it_says_that_all_may_be_done()
    {
        var (code, error) = await ShellAsync($"check --garden '{Garden}' 2>&1 >/dev/full");
        Assert.Equal(ExitCode.BadInput, code);
        Assert.Contains("What was asked may have been done all the same.", error, StringComparison.Ordinal);
    }

    private static async Task<(int Code, string Said)> ShellAsync(string arguments)
    {
        Assert.SkipUnless(BuiltProgram.IsNative, "SENTINEL_PROGRAM names no native program.");
        using var shell = Process.Start(
            new ProcessStartInfo("/bin/sh", ["-c", $"{BuiltProgram.Quoted} {arguments}"]) { RedirectStandardOutput = true })!;
        var said = await shell.StandardOutput.ReadToEndAsync(TestContext.Current.CancellationToken);
        await shell.WaitForExitAsync(TestContext.Current.CancellationToken);
        return (shell.ExitCode, said);
    }
}
