using System.Collections.Concurrent;
using Serilog;
using Serilog.Core;
using Serilog.Events;

namespace BackyardSentinel.Mqtt;

/// <summary>Keeps what is logged, as it would be read: the information and louder, without quotation marks round values.</summary>
internal sealed class LogLines : ILogEventSink, IDisposable
{
    private readonly Logger _logger;
    private bool _isDisposed;

    public LogLines() => _logger = new LoggerConfiguration().MinimumLevel.Information().WriteTo.Sink(this).CreateLogger();

    public ConcurrentQueue<string> Lines { get; } = [];

    public Serilog.ILogger Logger => _logger;

    public void Emit(LogEvent logEvent)
    {
        using var text = new StringWriter(CultureInfo.InvariantCulture);
        foreach (var token in logEvent.MessageTemplate.Tokens)
        {
            if (
                token is Serilog.Parsing.PropertyToken property
                && logEvent.Properties.TryGetValue(property.PropertyName, out var value)
                && value is ScalarValue { Value: string words })
                text.Write(words);
            else
                token.Render(logEvent.Properties, text, CultureInfo.InvariantCulture);
        }

        Lines.Enqueue(text.ToString());
    }

    public void Dispose()
    {
        // The logger disposes its sinks, and this is one.
        if (_isDisposed) return;
        _isDisposed = true;
        _logger.Dispose();
    }
}
