using System.IO.Compression;
using BackyardSentinel.Delivery;
using Microsoft.AspNetCore.Http;

namespace BackyardSentinel.Influx;

/// <summary>
/// A stand-in that speaks the protocol of an InfluxDB 2 server: the token is checked, lines (/api/v2/write) are read by the published
/// rules, a point that comes again takes its own place, field by field. Of Flux (/api/v2/query) it knows the one query of the program.
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

    /// <summary>What the server says with a fault; <c>null</c>: that it fails, and what it was sent; empty: nothing.</summary>
    public string? FaultMessage { get; set; }

    /// <summary>A header of the fault's answer.</summary>
    public (string Name, string Value)? FaultHeader { get; set; }

    /// <summary>More lines in one request are too many.</summary>
    public int MostLines { get; set; } = int.MaxValue;

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
        from pair in Points
        let fields = pair.Value
            .OrderBy(one => one.Key, StringComparer.Ordinal)
            .Select(one => string.Create(CultureInfo.InvariantCulture, $"{one.Key}={one.Value}"))
        select $"{pair.Key} {string.Join(',', fields)}");

    public ValueTask DisposeAsync() => _http.DisposeAsync();

    private async Task AnswerAsync(HttpContext context)
    {
        var (_, path, headers, body) = _http.Requests.Last();
        context.Response.ContentType = "application/json";
        if (Fault() is > 0 and var fault)
        {
            if (FaultHeader is var (name, value))
                context.Response.Headers[name] = value;
            if (FaultMessage is "")
                context.Response.StatusCode = fault;
            else
                await SayAsync(context, fault, FaultMessage ?? $"the server fails, you sent {headers["Authorization"]}");
            return;
        }

        if (headers.GetValueOrDefault("Authorization") != $"Token {Token}")
        {
            await SayAsync(context, 401, "unauthorized access");
            return;
        }

        if (path == "/api/v2/query")
        {
            await QueryAsync(context, body);
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
        if (lines.Length > MostLines)
        {
            context.Response.StatusCode = 413;
            await context.Response.WriteAsync("<html>413 Request Entity Too Large</html>");
            return;
        }

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

    /// <summary>The one question that the program asks, answered in annotated CSV as the server's documentation describes it.</summary>
    private async Task QueryAsync(HttpContext context, byte[] body)
    {
        using var json = System.Text.Json.JsonDocument.Parse(body);
        var flux = json.RootElement.GetProperty("query").GetString()!;
        var range = System.Text.RegularExpressions.Regex.Match(flux, @"range\(start: (\S+), stop: (\S+)\)");
        var site = System.Text.RegularExpressions.Regex.Match(flux, "r\\.site == \"([a-z0-9-]+)\"\\)").Groups[1].Value;
        var (from, to) = (At(range.Groups[1].Value), At(range.Groups[2].Value));
        var answer = new StringBuilder(
            "#datatype,string,long,dateTime:RFC3339,long,string,double\r\n#group,false,false,false,false,true,false\r\n"
                + "#default,_result,,,,,\r\n,result,table,_time,received_us,series,value\r\n");
        foreach (var line in Lines.Values)
        {
            var read = LineProtocol.Read(line);
            if (read.Measurement == InfluxLines.Readings && read.Tags["site"] == site && read.Time >= from && read.Time < to)
                answer.Append(
                    CultureInfo.InvariantCulture,
                    $",,0,{DateTimeOffset.FromUnixTimeMilliseconds(read.Time):yyyy-MM-ddTHH:mm:ss.fffZ},{read.Fields["received_us"]},\""
                        + $"{read.Tags["series"]}\",{read.Fields["value"]}\r\n");
        }

        context.Response.ContentType = "text/csv";
        await context.Response.WriteAsync(answer.ToString());

        static long At(string text) => DateTimeOffset.Parse(text, CultureInfo.InvariantCulture).ToUnixTimeMilliseconds();
    }

    private static async Task SayAsync(HttpContext context, int status, string message)
    {
        context.Response.StatusCode = status;
        await context.Response.WriteAsync($"{{\"code\":\"invalid\",\"message\":\"{message}\"}}");
    }
}
