using System.Collections.Concurrent;
using System.Net;
using System.Security.Cryptography.X509Certificates;
using Microsoft.AspNetCore.Builder;
using Microsoft.AspNetCore.Hosting;
using Microsoft.AspNetCore.Http;
using Microsoft.Extensions.Logging;

namespace BackyardSentinel.Delivery;

/// <summary>The other side of a webhook: a real HTTP server that answers as it is told and keeps what it got.</summary>
internal sealed class HttpPeer : IAsyncDisposable
{
    private readonly WebApplication _app;

    private HttpPeer(WebApplication app) => _app = app;

    public ConcurrentQueue<(string Method, string Path, IReadOnlyDictionary<string, string> Headers, byte[] Body)> Requests { get; } = [];

    public Func<HttpContext, Task> Answer { get; set; } = _ => Task.CompletedTask;

    public Uri Url => new(_app.Urls.First().Replace("127.0.0.1", "localhost", StringComparison.Ordinal));

    public static async Task<HttpPeer> StartAsync(X509Certificate2? certificate = null, int port = 0, CancellationToken ct = default)
    {
        var builder = WebApplication.CreateSlimBuilder();
        builder.Logging.ClearProviders();
        builder.WebHost.UseKestrelHttpsConfiguration();
        builder.WebHost.ConfigureKestrel(options => options.Listen(IPAddress.Loopback, port, listen =>
        {
            if (certificate is not null) listen.UseHttps(certificate);
        }));
        var peer = new HttpPeer(builder.Build());
        peer._app.Run(async context =>
        {
            using var body = new MemoryStream();
            await context.Request.Body.CopyToAsync(body);
            peer.Requests.Enqueue((context.Request.Method, context.Request.Path, context.Request.Headers.ToDictionary(
                header => header.Key, header => header.Value.ToString(), StringComparer.OrdinalIgnoreCase), body.ToArray()));
            await peer.Answer(context);
        });
        await peer._app.StartAsync(ct);
        return peer;
    }

    public void AnswerWith(int status, string body = "", string? header = null, string? value = null) => Answer = async context =>
    {
        context.Response.StatusCode = status;
        if (header is not null) context.Response.Headers[header] = value;
        await context.Response.WriteAsync(body);
    };

    public async ValueTask DisposeAsync() => await _app.DisposeAsync();
}
