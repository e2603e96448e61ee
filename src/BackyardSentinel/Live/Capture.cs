using System.Globalization;
using System.Text;
using System.Text.Json;
using System.Text.Unicode;
using System.Threading.Channels;
using BackyardSentinel.Configuration;
using BackyardSentinel.Contract;
using BackyardSentinel.Guards;
using BackyardSentinel.Mqtt;
using ILogger = Serilog.ILogger;

namespace BackyardSentinel.Live;

/// <summary>
/// Keeps sensors' messages as they came, for <c>replay</c> and for looking into what a sensor really sends. It stands beside the way
/// of a message: taking one never waits, and what goes wrong here is told and stops nothing else.
/// </summary>
public sealed class Capture : IDisposable
{
    /// <summary>How a time is written, to the tick.</summary>
    private const string TimeForm = "yyyy-MM-dd'T'HH:mm:ss.FFFFFFF'Z'";

    /// <summary>Below so much free room nothing is kept: the store needs it, and the grower is told at 500 MB.</summary>
    private const long LeastFreeBytes = 500L * 1024 * 1024;

    private static readonly TimeSpan FlushEvery = TimeSpan.FromSeconds(30);
    private static readonly TimeSpan PauseAfterFault = TimeSpan.FromMinutes(1);
    private static readonly TimeSpan TellEvery = TimeSpan.FromHours(1);

    private readonly Channel<(ArrivedMessage Message, DateTimeOffset At)> _waiting =
        Channel.CreateBounded<(ArrivedMessage, DateTimeOffset)>(new BoundedChannelOptions(4096) { SingleReader = true });

    private readonly CaptureSettings _settings;
    private readonly Func<long?> _freeBytes;
    private readonly TimeProvider _time;
    private readonly ILogger _log;
    private readonly CaptureFiles _files;
    private DateTimeOffset _pausedUntil, _flushed, _told;
    private long _left;

    /// <summary>Makes it ready; nothing is written yet.</summary>
    /// <param name="settings">Where, and how much.</param>
    /// <param name="time">The clock of flushing and of pauses.</param>
    /// <param name="log">Where sentences go.</param>
    /// <param name="freeBytes">Free room on the disk; <c>null</c>: the disk is asked.</param>
    public Capture(CaptureSettings settings, TimeProvider time, ILogger log, Func<long?>? freeBytes = null)
    {
        (_settings, _time, _log) = (settings, time, log);
        _freeBytes = freeBytes ?? (() => DiskRoom.FreeBytes(settings.Folder));
        _files = new CaptureFiles(settings.Folder, settings.MostBytes);
        _flushed = time.GetUtcNow();
    }

    /// <summary>Takes a message; leaves it out where so many wait that the disk cannot keep up.</summary>
    /// <param name="message">The message.</param>
    /// <param name="at">When it was taken up, UTC.</param>
    public void Take(ArrivedMessage message, DateTimeOffset at)
    {
        if (!_waiting.Writer.TryWrite((message, at)))
            Interlocked.Increment(ref _left);
    }

    /// <summary>Writes until cancelled, and then what waits.</summary>
    /// <param name="ct">Asks it to stop.</param>
    public async Task RunAsync(CancellationToken ct)
    {
        try
        {
            while (await _waiting.Reader.WaitToReadAsync(ct).ConfigureAwait(false))
                WriteWaiting();
        }
        catch (OperationCanceledException)
        {
            WriteWaiting();
        }

        Guarded(_files.Dispose);
    }

    /// <inheritdoc/>
    public void Dispose() => _files.Dispose();

    /// <summary>The line of a message.</summary>
    internal static byte[] Line(ArrivedMessage message, DateTimeOffset at)
    {
        var bytes = message.Payload.Span;
        var isText = Utf8.IsValid(bytes);
        var line = new CapturedMessage(
            at.UtcDateTime.ToString(TimeForm, CultureInfo.InvariantCulture),
            message.Topic,
            isText ? Encoding.UTF8.GetString(bytes) : null,
            isText ? null : Convert.ToBase64String(bytes),
            message.Retained,
            message.Redelivered);
        return [.. JsonSerializer.SerializeToUtf8Bytes(line, ContractJson.Default.CapturedMessage), (byte)'\n'];
    }

    private void WriteWaiting()
    {
        var now = _time.GetUtcNow();
        if (now - _flushed >= FlushEvery)
        {
            _flushed = now;
            Guarded(Flush);
        }

        while (_waiting.Reader.TryRead(out var one))
        {
            if (_time.GetUtcNow() < _pausedUntil || !Guarded(() => _files.Write(one.At, Line(one.Message, one.At))))
                Interlocked.Increment(ref _left);
        }

        if (Volatile.Read(ref _left) > 0 && now - _told >= TellEvery)
        {
            _told = now;
            _log.Warning(
                "{Count} raw messages were not kept in {Folder}; they were judged and stored all the same.",
                Interlocked.Exchange(ref _left, 0),
                _settings.Folder);
        }
    }

    private void Flush()
    {
        _files.Flush();
        if (_freeBytes() < LeastFreeBytes)
            throw new IOException("less than 500 MB are free on its disk");
    }

    /// <summary>What goes wrong with a file is told once an hour and tried again a minute later.</summary>
    private bool Guarded(Action write)
    {
        try
        {
            write();
            return true;
        }
        catch (Exception failure) when (failure is IOException or UnauthorizedAccessException or ObjectDisposedException)
        {
            var now = _time.GetUtcNow();
            _pausedUntil = now + PauseAfterFault;
            if (now - _told < TellEvery)
                return false;
            _told = now;
            _log.Warning(
                "Raw messages cannot be kept in {Folder} ({Reason}); the garden is watched on, and it is tried again each minute.",
                _settings.Folder,
                failure.Message.TrimEnd('.'));
            return false;
        }
    }
}
