using System.Globalization;
using System.IO.Compression;
using System.Text;
using BackyardSentinel.Delivery;
using Microsoft.AspNetCore.Http;

namespace BackyardSentinel.Influx;

/// <summary>
/// A stand-in that speaks the protocol of an InfluxDB 2 server for writing (/api/v2/write): the token is checked, lines are read by the
/// published rules, a point that comes again takes its own place, field by field.
/// </summary>
internal sealed class InfluxPeer : IAsyncDisposable
{
    public const string Token = "kQ7-planted-token==";
    private readonly HttpPeer _http;

    private InfluxPeer(HttpPeer http)
    {
        _http = http;
        http.Answer = AnswerAsync;
    }

    /// <summary>Every point with its fields.</summary>
    public SortedDictionary<string, Dictionary<string, object>> Points { get; } = new(StringComparer.Ordinal);

    /// <summary>The last line of each point.</summary>
    public Dictionary<string, string> Lines { get; } = new(StringComparer.Ordinal);

    /// <summary>Lines of each request that was taken.</summary>
    public List<int> Batches { get; } = [];

    public List<(string Encoding, string Query)> Heads { get; } = [];

    /// <summary>Status for a request, asked first; 0: it is taken.</summary>
    public Func<int> Fault { get; set; } = () => 0;

    /// <summary>A header of the fault's answer.</summary>
    public (string Name, string Value)? FaultHeader { get; set; }

    /// <summary>Lines with this in them are wrong.</summary>
    public string? Wrong { get; set; }

    public Uri Url => _http.Url;

    public InfluxAddress Address => new(Url, "garden", "weather", Token);

    public static async Task<InfluxPeer> StartAsync() => new(await HttpPeer.StartAsync());

    /// <summary>The points of one measurement.</summary>
    public IEnumerable<KeyValuePair<string, Dictionary<string, object>>> Of(string measurement) =>
        Points.Where(pair => pair.Key.StartsWith(measurement + "|", StringComparison.Ordinal));

    /// <summary>All that is there, as text.</summary>
    public string Content => string.Join(
        '\n',
        Points.Select(pair => $"{pair.Key} {string.Join(',', pair.Value.OrderBy(one => one.Key, StringComparer.Ordinal).Select(one => string.Create(CultureInfo.InvariantCulture, $"{one.Key}={one.Value}")))}"));

    public ValueTask DisposeAsync() => _http.DisposeAsync();

    private async Task AnswerAsync(HttpContext context)
    {
        var (_, path, headers, body) = _http.Requests.Last();
        context.Response.ContentType = "application/json";
        if (Fault() is > 0 and var fault)
        {
            if (FaultHeader is var (name, value))
                context.Response.Headers[name] = value;
            await SayAsync(context, fault, $"the server fails, you sent {headers["Authorization"]}");
            return;
        }

        if (headers.GetValueOrDefault("Authorization") != $"Token {Token}")
        {
            await SayAsync(context, 401, "unauthorized access");
            return;
        }

        if (path != "/api/v2/write")
        {
            await SayAsync(context, 404, "path not found");
            return;
        }

        Heads.Add((headers.GetValueOrDefault("Content-Encoding") ?? "", context.Request.QueryString.Value ?? ""));
        using var packed = new GZipStream(new MemoryStream(body), CompressionMode.Decompress);
        using var text = new StreamReader(packed, Encoding.UTF8);
        var lines = (await text.ReadToEndAsync()).Split('\n', StringSplitOptions.RemoveEmptyEntries);
        if (Wrong is not null && lines.Any(line => line.Contains(Wrong, StringComparison.Ordinal)))
        {
            await SayAsync(context, 400, $"field type conflict, {headers["Authorization"]} sent it");
            return;
        }

        foreach (var line in lines)
        {
            var read = LineProtocol.Read(line);
            Lines[read.Point] = line;
            if (!Points.TryGetValue(read.Point, out var fields))
                Points[read.Point] = fields = new Dictionary<string, object>(StringComparer.Ordinal);
            foreach (var (key, value) in read.Fields)
                fields[key] = value;
        }

        Batches.Add(lines.Length);
        context.Response.StatusCode = 204;
    }

    private static async Task SayAsync(HttpContext context, int status, string message)
    {
        context.Response.StatusCode = status;
        await context.Response.WriteAsync($"{{\"code\":\"invalid\",\"message\":\"{message}\"}}");
    }
}
