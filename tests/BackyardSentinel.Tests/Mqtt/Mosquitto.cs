using System.Diagnostics;
using System.Net;
using System.Net.Sockets;
using Xunit;

namespace BackyardSentinel.Mqtt;

/// <summary>A broker of its own process on a free port; a test that needs it is skipped where it is not installed.</summary>
internal sealed class Mosquitto : IDisposable
{
    private const string Program = "/usr/sbin/mosquitto";
    private readonly Process _process;

    private readonly string _settings;

    private Mosquitto(Process process, int port, string settings) => (_process, Port, _settings) = (process, port, settings);

    public int Port { get; }

    public static async Task<Mosquitto> StartAsync(string more = "")
    {
        Assert.SkipUnless(File.Exists(Program), "The broker mosquitto is not installed on this machine.");
        using (var probe = new TcpListener(IPAddress.Loopback, 0))
        {
            probe.Start();
            var port = ((IPEndPoint)probe.LocalEndpoint).Port;
            probe.Stop();
            // The broker drops what a slow client has not fetched beyond 1,000 messages unless told otherwise.
            var settings = Path.Combine(Path.GetTempPath(), $"mosquitto-{port}.conf");
            File.WriteAllText(settings, $"listener {port} 127.0.0.1\nallow_anonymous true\nmax_queued_messages 0\n{more}");
            var process = Process.Start(new ProcessStartInfo(Program, ["-c", settings]) { RedirectStandardError = true, RedirectStandardOutput = true })!;
            process.ErrorDataReceived += (_, _) => { };
            process.BeginErrorReadLine();
            for (var i = 0; i < 200; i++)
            {
                try
                {
                    using var client = new TcpClient();
                    await client.ConnectAsync(IPAddress.Loopback, port, TestContext.Current.CancellationToken);
                    return new Mosquitto(process, port, settings);
                }
                catch (SocketException)
                {
                    await Task.Delay(20, TestContext.Current.CancellationToken);
                }
            }

            process.Kill();
            throw new InvalidOperationException("The broker did not start.");
        }
    }

    public void Dispose()
    {
        _process.Kill();
        _process.WaitForExit(2000);
        _process.Dispose();
        File.Delete(_settings);
    }
}
