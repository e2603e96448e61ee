using System.Collections.Concurrent;
using Microsoft.AspNetCore.Builder;
using Microsoft.AspNetCore.Hosting;
using Microsoft.AspNetCore.Hosting.Server;
using Microsoft.AspNetCore.Hosting.Server.Features;
using Microsoft.AspNetCore.Http;
using Microsoft.Extensions.DependencyInjection;
using Microsoft.Extensions.Logging;

namespace BackyardSentinel.Forecasts;

/// <summary>A web server on this machine that gives the answers it was told, one after the other; the last one for ever.</summary>
internal sealed class ForecastServer : IAsyncDisposable
{
    private readonly WebApplication _app;
    private readonly Queue<Func<HttpContext, Task>> _answers;
    private int _busy;

    private ForecastServer(WebApplication app, IEnumerable<Func<HttpContext, Task>> answers) => (_app, _answers) = (app, new(answers));

    public ConcurrentQueue<IHeaderDictionary> Asked { get; } = [];

    public bool IsBusy => Volatile.Read(ref _busy) > 0;

    public Uri Url =>
        new(_app.Services.GetRequiredService<IServer>().Features.Get<IServerAddressesFeature>()!.Addresses.Single() + "/days?key=hush");

    public static async Task<ForecastServer> StartAsync(params Func<HttpContext, Task>[] answers)
    {
        var builder = WebApplication.CreateSlimBuilder();
        builder.Logging.ClearProviders();
        builder.WebHost.UseUrls("http://127.0.0.1:0");
        var server = new ForecastServer(builder.Build(), answers);
        server._app.Run(server.AnswerAsync);
        await server._app.StartAsync();
        return server;
    }

    public static Func<HttpContext, Task> Status(int code, params (string Name, string Value)[] headers) => context =>
    {
        context.Response.StatusCode = code;
        foreach (var (name, value) in headers) context.Response.Headers[name] = value;
        return Task.CompletedTask;
    };

    public static Func<HttpContext, Task> Body(string body, params (string Name, string Value)[] headers) => async context =>
    {
        await Status(200, headers)(context);
        await context.Response.WriteAsync(body, context.RequestAborted);
    };

    public async ValueTask DisposeAsync() => await _app.DisposeAsync();

    private async Task AnswerAsync(HttpContext context)
    {
        Interlocked.Increment(ref _busy);
        try
        {
            Asked.Enqueue(new HeaderDictionary(context.Request.Headers.ToDictionary()));
            await (_answers.Count > 1 ? _answers.Dequeue() : _answers.Peek())(context);
        }
        catch (OperationCanceledException)
        {
            // The client gave up.
        }
        finally
        {
            Interlocked.Decrement(ref _busy);
        }
    }
}
