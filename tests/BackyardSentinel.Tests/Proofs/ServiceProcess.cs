using System.Diagnostics;
using System.Text;
using Xunit;

namespace BackyardSentinel.Proofs;

/// <summary>The built program as a process of its own, as its user runs it.</summary>
internal sealed class ServiceProcess : IDisposable
{
    private readonly Process process;
    private readonly StringBuilder output = new(), errors = new();

    private ServiceProcess(Process process) => this.process = process;

    public string Output
    {
        get
        {
            lock (output)
                return output.ToString();
        }
    }

    public string Errors
    {
        get
        {
            lock (errors)
                return errors.ToString();
        }
    }

    public int Id => process.Id;

    public static ServiceProcess Start(params string[] arguments)
    {
        var program = Path.Combine(AppContext.BaseDirectory, "backyard-sentinel.dll");
        var start = new ProcessStartInfo("dotnet", [program, .. arguments]) { RedirectStandardOutput = true, RedirectStandardError = true };
        var service = new ServiceProcess(new Process { StartInfo = start });
        service.process.OutputDataReceived += (_, line) => Keep(service.output, line.Data);
        service.process.ErrorDataReceived += (_, line) => Keep(service.errors, line.Data);
        service.process.Start();
        service.process.BeginOutputReadLine();
        service.process.BeginErrorReadLine();
        return service;
    }

    /// <summary>Runs a command to its end.</summary>
    public static async Task<(int ExitCode, string Output, string Errors)> RunAsync(params string[] arguments)
    {
        using var command = Start(arguments);
        await command.process.WaitForExitAsync(TestContext.Current.CancellationToken);
        return (command.process.ExitCode, command.Output, command.Errors);
    }

    /// <summary>SIGKILL: no handler runs.</summary>
    public void KillAtOnce()
    {
        process.Kill();
        process.WaitForExit();
    }

    /// <summary>SIGTERM; gives the exit code and how long it took.</summary>
    public async Task<(int ExitCode, TimeSpan Took)> TerminateAsync(CancellationToken ct)
    {
        var watch = Stopwatch.StartNew();
        using var kill = Process.Start("kill", ["-TERM", $"{process.Id}"]);
        await process.WaitForExitAsync(ct);
        return (process.ExitCode, watch.Elapsed);
    }

    public void Dispose()
    {
        if (!process.HasExited)
            KillAtOnce();
        process.Dispose();
    }

    private static void Keep(StringBuilder text, string? line)
    {
        lock (text)
            text.AppendLine(line);
    }
}
