using System.Runtime.InteropServices;
using BackyardSentinel.Configuration;
using BackyardSentinel.Configuration.Yaml;
using ILogger = Serilog.ILogger;

namespace BackyardSentinel.Hosting;

/// <summary>
/// Reads the garden file anew when SIGHUP asks for it, as 'systemctl reload' does. One that cannot be used is told and changes nothing;
/// for another the service has to start anew. In a terminal the signal says that it was closed, and ends the program as ever.
/// </summary>
internal sealed class GardenChange : IDisposable
{
    private readonly string _path;
    private readonly TextWriter _error;
    private readonly ILogger _log;
    private readonly PosixSignalRegistration? _heard;
    private readonly Lock _gate = new();
    private CancellationTokenSource _asked = new();
    private GardenFile? _next;

    /// <summary>Begins to heed the signal.</summary>
    /// <param name="path">The garden file.</param>
    /// <param name="error">Where the file's problems are shown.</param>
    /// <param name="log">Where sentences go.</param>
    public GardenChange(string path, TextWriter error, ILogger log)
    {
        (_path, _error, _log) = (path, error, log);
        if (Console.IsInputRedirected)
            _heard = PosixSignalRegistration.Create(PosixSignal.SIGHUP, context =>
            {
                context.Cancel = true;
                Look();
            });
    }

    /// <summary>Cancelled when there is a garden file to start anew with; <see cref="Take"/> begins the next wait.</summary>
    public CancellationToken Asked
    {
        get
        {
            lock (_gate)
                return _asked.Token;
        }
    }

    /// <summary>The garden file to start anew with; <c>null</c>: none was asked for since the last was taken.</summary>
    public GardenFile? Take()
    {
        lock (_gate)
        {
            var next = _next;
            _next = null;
            _asked.Dispose();
            _asked = new CancellationTokenSource();
            return next;
        }
    }

    /// <inheritdoc/>
    public void Dispose()
    {
        _heard?.Dispose();
        _asked.Dispose();
    }

    /// <summary>Reads the file; what is wrong with it is told, and nothing about it may end the service.</summary>
    private void Look()
    {
        lock (_gate)
        {
            try
            {
                Read();
            }
#pragma warning disable CA1031 // the service runs on
            catch (Exception failure)
#pragma warning restore CA1031
            {
                _log.Error(failure, "{Path} cannot be read anew ({Reason}). The service goes on as before.", _path, failure.Message);
            }
        }
    }

    private void Read()
    {
        var (garden, problems) = GardenFileReader.Read(_path);
        var fault = garden is null ? null : FaultOf(garden);
        if (garden is null || fault is not null)
        {
            ProblemRenderer.Write(problems, _error);
            if (fault is not null)
                _error.WriteLine(fault);
            _log.Error("{Path} cannot be used as it is now. The service goes on as before; correct the file, then reload again.", _path);
            return;
        }

        _log.Information("{Path} has been read anew: the service starts again with it.", _path);
        _next = garden;
        _asked.Cancel();
    }

    /// <summary>Why what it points to cannot be used, such as a secret that is not there; <c>null</c>: it can.</summary>
    private static string? FaultOf(GardenFile garden)
    {
        try
        {
            AlertWiring.Of(garden).Dispose();
            return GardenWiring.Broker(garden, out var reason) is null ? reason!.Text : null;
        }
        catch (WiringProblemException problem)
        {
            return problem.Message;
        }
    }
}
