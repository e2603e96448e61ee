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
    /// <summary>Points in one request; the maker of the server advises so many.</summary>
    public const int BatchPoints = 5000;

    /// <summary>Between two requests while there is more to send, so that days are caught up without a storm.</summary>
    public static readonly TimeSpan Pace = TimeSpan.FromSeconds(1);

    /// <summary>Between the first attempts; each further pause is twice as long, up to <see cref="LongestPause"/>. Assumed.</summary>
    private static readonly TimeSpan FirstPause = TimeSpan.FromSeconds(2);

    private static readonly TimeSpan LongestPause = TimeSpan.FromMinutes(5);

    /// <summary>A wrong token does not mend itself; the server's administrator may give it its right.</summary>
    private static readonly TimeSpan PauseWhenNotAllowed = TimeSpan.FromMinutes(15);

    /// <summary>A trouble that lasts is told so often.</summary>
    private static readonly TimeSpan Quiet = TimeSpan.FromHours(1);

    /// <summary>So many halvings of a batch are done at once; each further one waits a second, so that it is no storm (assumed).</summary>
    private const int MostAtOnce = 64;

    /// <summary>
    /// So many points refused one after the other, and none taken between: then it may not be the points, which is tried (assumed).
    /// </summary>
    private const int MostInRow = 20;

    /// <summary>So many points from all over a batch are tried by themselves where none was ever taken (assumed).</summary>
    private const int Samples = 10;

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
    private readonly List<(string Line, int Count, string Reason)> _refused = [];
    private int _halvings, _inRow;
    private int _most = int.MaxValue; // Lines that the server takes in one request, as far as it has said.
    private bool _refusesAll, _hasTaken;
    private IReadOnlyList<string> _batch = [];
    private string? _good; // The last line known to have been taken.

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

    /// <summary>Told when the server first takes something, each time it takes nothing, and when it takes points again.</summary>
    public event EventHandler? Answered;

    /// <summary>Sends lines. Returns when each of them is safe or set aside.</summary>
    /// <param name="lines">The lines.</param>
    /// <param name="ct">Gives up; then some may be there and some not, and all may be sent again.</param>
    public async Task SendAsync(IReadOnlyList<string> lines, CancellationToken ct)
    {
        _batch = lines;
        while (!await TrySendAsync(ct).ConfigureAwait(false))
        {
            // A server that refuses whatever it is sent has a trouble of its own: what waits is safe in the store.
            do
            {
                Complain(new InfluxAnswer(InfluxOutcome.Later, _refused[^1].Reason));
                await Task.Delay(LongestPause, _time, ct).ConfigureAwait(false);
            }
            while (!await TakesOthersAsync(ct).ConfigureAwait(false));
        }

        foreach (var (line, count, reason) in _refused)
            SetAside(line, count, reason);
    }

    /// <returns><c>false</c>: the server refuses points that are not to blame.</returns>
    private async Task<bool> TrySendAsync(CancellationToken ct)
    {
        (_halvings, _inRow, _refusesAll) = (0, 0, false);
        _most = _most > BatchPoints ? int.MaxValue : _most * 2; // What was too much once need not be for ever.
        _refused.Clear();
        await SendPartAsync(_batch, ct).ConfigureAwait(false);
        return !_refusesAll && (_inRow == 0 || await TakesOthersAsync(ct).ConfigureAwait(false));
    }

    /// <summary>
    /// Whether it takes a point that is not to blame: one that it took before, which takes its own place again; before the first such
    /// one from elsewhere in the batch.
    /// </summary>
    private async Task<bool> TakesOthersAsync(CancellationToken ct)
    {
        var asked = _good is { } good ? [good] : Enumerable.Range(0, Samples).Select(i => _batch[(_batch.Count - 1) * i / (Samples - 1)]);
        foreach (var line in asked.Distinct())
        {
            var answer = await AskAsync([line], ct).ConfigureAwait(false);
            if (answer.Outcome is InfluxOutcome.Refused or InfluxOutcome.TooLarge)
                continue;
            TakesAgain();
            return true;
        }

        return false;
    }

    private async Task SendPartAsync(IReadOnlyList<string> lines, CancellationToken ct)
    {
        if (_refusesAll)
            return;
        if (lines.Count > _most)
        {
            await SendHalvesAsync(lines, ct).ConfigureAwait(false);
            return;
        }

        if (_halvings > MostAtOnce)
            await Task.Delay(Pace, _time, ct).ConfigureAwait(false);
        var answer = await AskAsync(lines, ct).ConfigureAwait(false);
        switch (answer.Outcome)
        {
            case InfluxOutcome.TooLarge when lines.Count > 1:
                _most = lines.Count / 2;
                await SendHalvesAsync(lines, ct).ConfigureAwait(false);
                return;
            case InfluxOutcome.Refused when lines.Count > 1:
                _halvings++;
                await SendHalvesAsync(lines, ct).ConfigureAwait(false);
                return;
            case InfluxOutcome.Refused or InfluxOutcome.TooLarge:
                _refused.Add((lines[0], 1, answer.Reason));
                _refusesAll = ++_inRow % MostInRow == 0 && !await TakesOthersAsync(ct).ConfigureAwait(false);
                return;
        }

        _inRow = 0;
        TakesAgain();
        if (answer.Outcome == InfluxOutcome.Taken)
            _good = lines[0];
        else if (answer.Outcome == InfluxOutcome.TooOld)
            LeaveOut(answer, lines.Count);
        else
            _refused.Add((OneOf(lines, answer.Reason), answer.Dropped ?? 1, answer.Reason));
    }

    private async Task SendHalvesAsync(IReadOnlyList<string> lines, CancellationToken ct)
    {
        var middle = lines.Count / 2;
        await SendPartAsync([.. lines.Take(middle)], ct).ConfigureAwait(false);
        await SendPartAsync([.. lines.Skip(middle)], ct).ConfigureAwait(false);
    }

    private async Task<InfluxAnswer> AskAsync(IReadOnlyList<string> lines, CancellationToken ct) =>
        await _patience.ExecuteAsync(async token => await _server.WriteAsync(lines, token).ConfigureAwait(false), ct).ConfigureAwait(false);

    /// <summary>Which points a server has dropped of many it does not tell, only of which measurement they were.</summary>
    private static string OneOf(IReadOnlyList<string> lines, string reason) =>
        lines.FirstOrDefault(line => reason.Contains($"\"{line.Split(',', ' ')[0]}\"", StringComparison.Ordinal)) ?? lines[0];

    /// <summary>
    /// The server has taken what of the lines its bucket still keeps: that is as its owner wants it, and nothing to mend here.
    /// </summary>
    private void LeaveOut(InfluxAnswer answer, int sent)
    {
        var (dropped, reason) = (Math.Min(answer.Dropped ?? sent, sent), answer.Reason);
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

    private void SetAside(string line, int count, string reason)
    {
        (Aside, LastRefusal) = (Aside + count, reason);
        var shown = _reasons.Contains(reason) || _reasons.Count < MostReasons ? reason : reason.Split(',')[0];
        _reasons.Add(shown);
        _book.SetAside(
            new QuarantinedMessage(
                "influx",
                count == 1
                    ? (Sentence)$"the InfluxDB server refuses this point: {new English(shown)}"
                    : $"the InfluxDB server refuses {count} points, such as this one may be: {new English(shown)}",
                StoredTime.ToMicroseconds(_time.GetUtcNow()),
                Encoding.UTF8.GetBytes(line)));
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
        if (WaitingSince is null && _hasTaken)
            return;
        if (WaitingSince is not null)
            _log.Information("The InfluxDB server {Server} takes points again; what has waited follows.", _name);
        (WaitingSince, LastAnswer, _hasTaken) = (null, null, true);
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
