using System.Diagnostics;
using System.Net;
using System.Net.Sockets;
using System.Text.Json;

namespace BackyardSentinel.Influx;

/// <summary>
/// A server of its own process that really takes the line protocol at /api/v2/write: Debian's victoria-metrics. It knows no tokens,
/// no Flux and only numbers; what it kept is read back by its own export. Skipped where it is not installed.
/// </summary>
internal sealed class VictoriaMetrics : IDisposable
{
    private const string Program = "/usr/bin/victoria-metrics";
    private readonly string _folder = Directory.CreateTempSubdirectory("victoria").FullName;
    private readonly Process _process;
    private readonly HttpClient _http = new();

    private VictoriaMetrics(int port)
    {
        Url = new Uri($"http://127.0.0.1:{port}");
        _process = Process.Start(
            new ProcessStartInfo(Program, [$"-httpListenAddr={Url.Authority}", $"-storageDataPath={_folder}/data", "-retentionPeriod=100y"])
            {
                RedirectStandardError = true,
                RedirectStandardOutput = true,
            })!;
        _process.ErrorDataReceived += (_, _) => { };
        _process.BeginErrorReadLine();
    }

    public Uri Url { get; }

    public static async Task<VictoriaMetrics> StartAsync()
    {
        Assert.SkipUnless(
            File.Exists(Program), "The server victoria-metrics, which takes the line protocol, is not installed on this machine.");
        using var probe = new TcpListener(IPAddress.Loopback, 0);
        probe.Start();
        var port = ((IPEndPoint)probe.LocalEndpoint).Port;
        probe.Stop();
        var server = new VictoriaMetrics(port);
        await Until.TrueAsync(server.IsUp, "victoria-metrics answers");
        return server;
    }

    /// <summary>All numbers that it keeps, by series and time, each as often as it is there.</summary>
    public async Task<List<(string Metric, IReadOnlyDictionary<string, string> Tags, long TimeMs, double Value)>> ExportAsync(string prefix)
    {
        var ct = TestContext.Current.CancellationToken;
        await _http.GetAsync(new Uri(Url, "/internal/force_flush"), ct);
        var text = await _http.GetStringAsync(new Uri(Url, $"/api/v1/export?match[]={{__name__=~\"{prefix}.*\"}}"), ct);
        List<(string, IReadOnlyDictionary<string, string>, long, double)> all = [];
        foreach (var line in text.Split('\n', StringSplitOptions.RemoveEmptyEntries))
        {
            using var json = JsonDocument.Parse(line);
            var tags = json.RootElement.GetProperty("metric")
                .EnumerateObject()
                .ToDictionary(one => one.Name, one => one.Value.GetString()!);
            var times = json.RootElement.GetProperty("timestamps").EnumerateArray();
            foreach (var (time, value) in times.Zip(json.RootElement.GetProperty("values").EnumerateArray()))
                all.Add((tags["__name__"], tags, time.GetInt64(), double.Parse(value.GetRawText(), CultureInfo.InvariantCulture)));
        }

        return all;
    }

    public void Dispose()
    {
        _process.Kill();
        _process.WaitForExit(5000);
        _process.Dispose();
        _http.Dispose();
        Directory.Delete(_folder, true);
    }

    private bool IsUp()
    {
        try
        {
            return _http.GetAsync(new Uri(Url, "/health")).GetAwaiter().GetResult().IsSuccessStatusCode;
        }
        catch (HttpRequestException)
        {
            return false;
        }
    }
}
