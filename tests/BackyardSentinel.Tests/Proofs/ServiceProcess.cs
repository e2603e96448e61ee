using System.Diagnostics;

namespace BackyardSentinel.Proofs;

/// <summary>The built program as a process of its own, as its user runs it.</summary>
internal sealed class ServiceProcess : IDisposable
{
    private readonly Process _process;
    private readonly StringBuilder _output = new(), _errors = new();

    private ServiceProcess(Process process) => _process = process;

    public string Output
    {
        get
        {
            lock (_output)
                return _output.ToString();
        }
    }

    public string Errors
    {
        get
        {
            lock (_errors)
                return _errors.ToString();
        }
    }

    public int Id => _process.Id;

    public static ServiceProcess Start(params string[] arguments) => Start(BuiltProgram.With(arguments));

    /// <summary>The same by a way on which it hears SIGHUP, though who runs the tests may have it ignored, as nohup does.</summary>
    public static ServiceProcess StartHearingHangUp(params string[] arguments)
    {
        var start = BuiltProgram.With(arguments);
        start.ArgumentList.Insert(0, start.FileName);
        start.ArgumentList.Insert(0, "--default-signal=HUP");
        start.FileName = "env";
        return Start(start);
    }

    private static ServiceProcess Start(ProcessStartInfo start)
    {
        start.RedirectStandardInput = true; // No terminal, wherever the tests run.
        var service = new ServiceProcess(new Process { StartInfo = start });
        service._process.OutputDataReceived += (_, line) => Keep(service._output, line.Data);
        service._process.ErrorDataReceived += (_, line) => Keep(service._errors, line.Data);
        service._process.Start();
        service._process.BeginOutputReadLine();
        service._process.BeginErrorReadLine();
        service._process.StandardInput.Close();
        return service;
    }

    /// <summary>Runs a command to its end.</summary>
    public static async Task<(int ExitCode, string Output, string Errors)> RunAsync(params string[] arguments)
    {
        using var command = Start(arguments);
        await command._process.WaitForExitAsync(TestContext.Current.CancellationToken);
        return (command._process.ExitCode, command.Output, command.Errors);
    }

    /// <summary>SIGKILL: no handler runs.</summary>
    public void KillAtOnce()
    {
        _process.Kill();
        _process.WaitForExit();
    }

    /// <summary>SIGTERM; gives the exit code.</summary>
    public async Task<int> TerminateAsync(CancellationToken ct)
    {
        using var kill = Process.Start("kill", ["-TERM", $"{_process.Id}"]);
        await _process.WaitForExitAsync(ct);
        return _process.ExitCode;
    }

    /// <summary>SIGHUP: the garden file is to be read anew.</summary>
    public async Task HangUpAsync(CancellationToken ct)
    {
        using var kill = Process.Start("kill", ["-HUP", $"{_process.Id}"]);
        await kill.WaitForExitAsync(ct);
    }

    public void Dispose()
    {
        if (!_process.HasExited)
            KillAtOnce();
        _process.Dispose();
    }

    private static void Keep(StringBuilder text, string? line)
    {
        lock (text)
            text.AppendLine(line);
    }
}
