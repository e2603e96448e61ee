using System.Diagnostics;
using System.Net;
using System.Net.Sockets;

namespace BackyardSentinel.Mqtt;

/// <summary>A broker of its own process on a free port; a test that needs it is skipped where it is not installed.</summary>
internal sealed class Mosquitto : IDisposable
{
    private const string Program = "/usr/sbin/mosquitto";
    private readonly string _folder = Directory.CreateTempSubdirectory("mosquitto").FullName;
    private Process? _process;

    private Mosquitto(int port) => Port = port;

    public int Port { get; }

    private string Saved => Path.Combine(_folder, "mosquitto.db");

    public static async Task<Mosquitto> StartAsync(string more = "")
    {
        Assert.SkipUnless(File.Exists(Program), "The broker mosquitto is not installed on this machine.");
        using var probe = new TcpListener(IPAddress.Loopback, 0);
        probe.Start();
        var port = ((IPEndPoint)probe.LocalEndpoint).Port;
        probe.Stop();
        var broker = new Mosquitto(port);
        // The broker drops what a slow client has not fetched beyond 1,000 messages unless told otherwise.
        File.WriteAllText(
            broker.Settings,
            $"user {Environment.UserName}\nlistener {port} 127.0.0.1\nallow_anonymous true\nmax_queued_messages 0\n"
                + $"persistence_location {broker._folder}/\n{more}");
        await broker.RunAsync();
        return broker;
    }

    /// <summary>A broker that keeps sessions and queues in a file, and writes it when it is told to.</summary>
    public static Task<Mosquitto> StartKeepingAsync() => StartAsync("persistence true\nautosave_interval 0\n");

    /// <summary>The broker writes its sessions and queues, as it does every so often by itself.</summary>
    public async Task SaveAsync()
    {
        File.Delete(Saved);
        using (var kill = Process.Start("/bin/kill", ["-USR1", $"{_process!.Id}"])!)
            await kill.WaitForExitAsync(TestContext.Current.CancellationToken);
        // It writes to another name first. Signals are looked at when something happens.
        await Until.TrueAsync(() => File.Exists(Saved), "the broker has saved");
    }

    /// <summary>The power fails and comes back: the broker goes on from what it had saved last.</summary>
    public async Task LosePowerAsync()
    {
        End();
        await RunAsync();
    }

    /// <summary>The broker hangs: its connections stand, and nothing is answered.</summary>
    public void Pause()
    {
        using var kill = Process.Start("/bin/kill", ["-STOP", $"{_process!.Id}"])!;
        kill.WaitForExit();
    }

    public void Dispose()
    {
        End();
        Directory.Delete(_folder, true);
    }

    private string Settings => Path.Combine(_folder, "mosquitto.conf");

    private void End()
    {
        _process!.Kill();
        _process.WaitForExit(2000);
        _process.Dispose();
    }

    private async Task RunAsync()
    {
        _process = Process.Start(
            new ProcessStartInfo(Program, ["-c", Settings]) { RedirectStandardError = true, RedirectStandardOutput = true }
        )!;
        _process.ErrorDataReceived += (_, _) => { };
        _process.BeginErrorReadLine();
        for (var i = 0; i < 200; i++)
        {
            try
            {
                using var client = new TcpClient();
                await client.ConnectAsync(IPAddress.Loopback, Port, TestContext.Current.CancellationToken);
                return;
            }
            catch (SocketException)
            {
                await Task.Delay(20, TestContext.Current.CancellationToken);
            }
        }

        _process.Kill();
        throw new InvalidOperationException("The broker did not start.");
    }
}
