using System.Globalization;
using System.Text;
using BackyardSentinel.Storage;
using BackyardSentinel.Wording;
using Polly;
using Polly.Retry;
using ILogger = Serilog.ILogger;

namespace BackyardSentinel.Influx;

/// <summary>
/// Gets lines to the server, however long that takes: a server that is away is asked until it is back, ever more rarely. What
/// it refuses for good is halved until the points that are to blame are found; they are set aside with the reason, the rest goes.
/// </summary>
public sealed class InfluxSender
{
    /// <summary>Between the first attempts; each further pause is twice as long, up to <see cref="LongestPause"/>. Assumed.</summary>
    private static readonly TimeSpan FirstPause = TimeSpan.FromSeconds(2);

    private static readonly TimeSpan LongestPause = TimeSpan.FromMinutes(5);

    /// <summary>A wrong token does not mend itself; the server's administrator may give it its right.</summary>
    private static readonly TimeSpan PauseWhenNotAllowed = TimeSpan.FromMinutes(15);

    /// <summary>A trouble that lasts is told so often.</summary>
    private static readonly TimeSpan Quiet = TimeSpan.FromHours(1);

    /// <summary>Requests to find the bad points of one batch; what is not found by then is set aside in one piece.</summary>
    private const int MostHalvings = 64;

    /// <summary>So many points refused one after the other, and none taken between: then it is not the points (assumed).</summary>
    private const int MostInRow = 20;

    /// <summary>Different reasons kept aside; the words of a server may have numbers in them that never repeat.</summary>
    private const int MostReasons = 20;

    private readonly InfluxServer _server;
    private readonly ForwardBook _book;
    private readonly TimeProvider _time;
    private readonly ILogger _log;
    private readonly string _name;
    private readonly ResiliencePipeline<InfluxAnswer> _patience;
    private readonly HashSet<string> _reasons = [];
    private readonly Dictionary<InfluxOutcome, long> _told = [];
    private readonly List<(IReadOnlyList<string> Lines, string Reason)> _refused = [];
    private int _halvings, _inRow;
    private bool _anyTaken;

    /// <summary>Makes it.</summary>
    /// <param name="server">The server.</param>
    /// <param name="name">What the server is called in sentences.</param>
    /// <param name="book">Where points are set aside.</param>
    /// <param name="time">The clock of the pauses.</param>
    /// <param name="log">Where sentences go.</param>
    public InfluxSender(InfluxServer server, string name, ForwardBook book, TimeProvider time, ILogger log)
    {
        (_server, _name, _book, _time, _log) = (server, name, book, time, log);
        _patience = new ResiliencePipelineBuilder<InfluxAnswer> { TimeProvider = time }
            .AddRetry(
                new RetryStrategyOptions<InfluxAnswer>
                {
                    ShouldHandle = args =>
                        ValueTask.FromResult(args.Outcome.Result is { Outcome: InfluxOutcome.Later or InfluxOutcome.NotAllowed }),
                    MaxRetryAttempts = int.MaxValue,
                    BackoffType = DelayBackoffType.Exponential,
                    UseJitter = true,
                    Delay = FirstPause,
                    MaxDelay = LongestPause,
                    DelayGenerator = args => ValueTask.FromResult(
                        args.Outcome.Result is { Outcome: InfluxOutcome.NotAllowed } ? PauseWhenNotAllowed : args.Outcome.Result?.Pause),
                    OnRetry = args =>
                    {
                        Complain(args.Outcome.Result!);
                        return ValueTask.CompletedTask;
                    },
                })
            .Build();
    }

    /// <summary>Since when the server takes nothing, UTC; <c>null</c>: it takes what comes, or has not been asked.</summary>
    public DateTimeOffset? WaitingSince { get; private set; }

    /// <summary>Why it takes nothing.</summary>
    public InfluxAnswer? LastAnswer { get; private set; }

    /// <summary>Points refused for good since the start.</summary>
    public long Aside { get; private set; }

    /// <summary>Why the last of them was refused; <c>null</c>: none was.</summary>
    public string? LastRefusal { get; private set; }

    /// <summary>Told each time the server takes nothing, and when it takes points again.</summary>
    public event EventHandler? Answered;

    /// <summary>Sends lines. Returns when each of them is safe or set aside.</summary>
    /// <param name="lines">The lines.</param>
    /// <param name="ct">Gives up; then some may be there and some not, and all may be sent again.</param>
    public async Task SendAsync(IReadOnlyList<string> lines, CancellationToken ct)
    {
        while (true)
        {
            (_halvings, _anyTaken) = (0, false);
            _refused.Clear();
            await SendPartAsync(lines, ct).ConfigureAwait(false);
            if (_anyTaken || _inRow < MostInRow)
                break;
            // A server that refuses whatever it is sent has a trouble of its own: what waits is safe in the store.
            Complain(new InfluxAnswer(InfluxOutcome.Later, _refused[^1].Reason));
            await Task.Delay(LongestPause, _time, ct).ConfigureAwait(false);
        }

        foreach (var (some, reason) in _refused)
            SetAside(some, reason);
    }

    private async Task SendPartAsync(IReadOnlyList<string> lines, CancellationToken ct)
    {
        var answer = await _patience.ExecuteAsync(
            async token => await _server.WriteAsync(lines, token).ConfigureAwait(false), ct).ConfigureAwait(false);
        if (answer.Outcome != InfluxOutcome.Refused)
        {
            (_inRow, _anyTaken) = (0, true);
            TakesAgain();
        }

        if (answer.Outcome == InfluxOutcome.TooOld)
            LeaveOut(lines, answer.Reason);
        if (answer.Outcome != InfluxOutcome.Refused)
            return;
        if (lines.Count == 1 || ++_halvings > MostHalvings)
        {
            _inRow += lines.Count;
            _refused.Add((lines, answer.Reason));
            return;
        }

        var middle = lines.Count / 2;
        await SendPartAsync([.. lines.Take(middle)], ct).ConfigureAwait(false);
        await SendPartAsync([.. lines.Skip(middle)], ct).ConfigureAwait(false);
    }

    /// <summary>
    /// The server has taken what of the lines its bucket still keeps: that is as its owner wants it, and nothing to mend here.
    /// </summary>
    private void LeaveOut(IReadOnlyList<string> lines, string reason)
    {
        var dropped = reason.LastIndexOf("dropped=", StringComparison.Ordinal) is >= 0 and var at
            && long.TryParse(reason.AsSpan(at + 8).TrimEnd(), NumberStyles.None, CultureInfo.InvariantCulture, out var count)
            ? Math.Min(count, lines.Count)
            : lines.Count;
        (Aside, LastRefusal) = (Aside + dropped, reason);
        if (MayTell(InfluxOutcome.TooOld))
            _log.Warning(
                "The InfluxDB server {Server} takes no points as old as {Count} of these ({Reason}): "
                    + "its bucket keeps them for a shorter time. The others were taken, and the readings themselves are in the store. "
                    + "For a longer history give the bucket a longer retention there.",
                _name,
                dropped,
                reason);
    }

    private void SetAside(IReadOnlyList<string> lines, string reason)
    {
        (Aside, LastRefusal) = (Aside + lines.Count, reason);
        var shown = _reasons.Contains(reason) || _reasons.Count < MostReasons ? reason : reason.Split(',')[0];
        _reasons.Add(shown);
        _book.SetAside(
            new QuarantinedMessage(
                "influx",
                $"the InfluxDB server refuses this point: {new English(shown)}",
                StoredTime.ToMicroseconds(_time.GetUtcNow()),
                Encoding.UTF8.GetBytes(lines[0])));
        if (MayTell(InfluxOutcome.Refused))
            _log.Warning(
                "The InfluxDB server {Server} refuses a point ({Reason}). It is set aside, so far {Count}; 'refused' shows it. "
                    + "The readings themselves are in the store.",
                _name,
                reason,
                Aside);
    }

    private void Complain(InfluxAnswer answer)
    {
        var isNews = WaitingSince is null || LastAnswer?.Outcome != answer.Outcome;
        WaitingSince ??= _time.GetUtcNow();
        LastAnswer = answer;
        if (answer.Outcome == InfluxOutcome.NotAllowed)
        {
            // Once: it stays as it is until somebody changes something.
            if (isNews)
                _log.Error(
                    "The InfluxDB server {Server} takes nothing from this service ({Reason}). Look at url, org, "
                        + "bucket and token under 'influx' in the garden file: the token must be allowed to write to this bucket. "
                        + "Nothing is lost: what is not sent waits in the store for as long as that keeps readings. After a change "
                        + "let the service read the garden file again.",
                    _name,
                    answer.Reason);
        }
        else if (MayTell(InfluxOutcome.Later))
        {
            _log.Warning(
                "The InfluxDB server {Server} takes nothing at the moment ({Reason}). Nothing is lost: "
                    + "what is not sent waits in the store for as long as that keeps readings, and the server is asked again at "
                    + "least each five minutes.",
                _name,
                answer.Reason);
        }

        Answered?.Invoke(this, EventArgs.Empty);
    }

    private void TakesAgain()
    {
        if (WaitingSince is null)
            return;
        _log.Information("The InfluxDB server {Server} takes points again; what has waited follows.", _name);
        (WaitingSince, LastAnswer) = (null, null);
        Answered?.Invoke(this, EventArgs.Empty);
    }

    private bool MayTell(InfluxOutcome about)
    {
        if (_told.TryGetValue(about, out var before) && _time.GetElapsedTime(before) < Quiet)
            return false;
        _told[about] = _time.GetTimestamp();
        return true;
    }
}
