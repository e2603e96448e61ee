using BackyardSentinel.Alerting;
using BackyardSentinel.Forecasts;
using BackyardSentinel.Garden;
using BackyardSentinel.Guards;
using BackyardSentinel.Infection;
using BackyardSentinel.Sensors;
using BackyardSentinel.Storage;
using BackyardSentinel.Watching;
using BackyardSentinel.Weather;
using Microsoft.Data.Sqlite;
using SQLitePCL;
using ILogger = Serilog.ILogger;

namespace BackyardSentinel.Live;

/// <summary>
/// Keeps the board of watches in step with what comes beside the sensors: the journal, answers to alerts, forecasts, the
/// passing hours. Used by the loop's thread only.
/// </summary>
internal sealed class SeasonKeeper
{
    /// <summary>So many are judged within a second also on a slow board.</summary>
    private const long FedPerTurn = 1024;

    private const int MostNamed = 12;

    private readonly SentinelStore _store;
    private readonly IReadOnlyList<Site> _sites;
    private readonly IReadOnlyDictionary<int, SeriesMap> _series;
    private readonly LoopParts _parts;
    private readonly DateTimeOffset? _seasonStart;
    private readonly ILogger _log;
    private IReadOnlyList<JournalEntry> _journal = [];
    private Forecast? _forecast;
    private DateTimeOffset _lookedAhead;
    private long _journalNumber, _answersUs;

    public SeasonKeeper(
        SentinelStore store,
        IReadOnlyList<Site> sites,
        IReadOnlyDictionary<int, SeriesMap> series,
        LoopParts parts,
        DateTimeOffset? seasonStart,
        ILogger log,
        DateTimeOffset storedUntil)
    {
        (_store, _sites, _series, _parts, _seasonStart, _log) = (store, sites, series, parts, seasonStart, log);
        _forecast = store.LastForecast() is { } kept ? ForecastJson.Read(kept).Forecast : null;
        Board = Rebuild(DateTimeOffset.MinValue, out var count, storedUntil);
        if (count > 0)
            _log.Information("{Count} stored readings of the season judged again. {Levels}.", count, Raised(Board));
        if (SeriesMaps.Strangers(store.SeriesNames.Values, series.Values) is { Count: > 0 } strangers)
            _log.Information(
                "The store has readings of {Series}, which the garden file does not have: they do not count.",
                string.Join(", ", strangers));
    }

    /// <summary>The board that holds now.</summary>
    public Board Board { get; private set; }

    /// <summary>The journal's sound entries.</summary>
    public IReadOnlyList<JournalEntry> Journal => _journal;

    /// <summary>The last forecast, whatever its age; <c>null</c>: none came yet.</summary>
    public Forecast? Forecast => _forecast;

    /// <summary>The grower has written in the journal since the board was made.</summary>
    public bool JournalHasGrown()
    {
        try
        {
            return _parts.Journal is { } journal && journal.LastNumber() != _journalNumber;
        }
        catch (SqliteException failure) when (!StoreRefusal.IsSpoilt(failure))
        {
            _log.Warning("The journal cannot be looked at ({Reason}); it is tried again in a second.", failure.Message);
            return false;
        }
    }

    /// <summary>Makes a new board from everything stored. What the old one raised must be stored first.</summary>
    /// <param name="minute">How far time has passed.</param>
    /// <param name="why">What has changed, as a clause.</param>
    /// <param name="turns">Turned as the readings are judged: years of them take minutes on a small computer.</param>
    public void JudgeAgain(DateTimeOffset minute, string why, TurnWatch turns)
    {
        var before = Raised(Board);
        Board = Rebuild(minute, out _, turns: turns);
        _lookedAhead = DateTimeOffset.MinValue;
        _log.Information("{Why}; the season has been judged again.", why);
        if (Raised(Board) is var now && now != before)
            _log.Information("{Levels}.", now);
    }

    /// <summary>Takes readings that were held back, in the order in which they count.</summary>
    public void Feed(IEnumerable<SensedReading> heldBack) => Board.Season.Feed(heldBack.OrderBy(sensed => sensed.Reading.Time));

    /// <summary>Answers and forecasts that came since the last look.</summary>
    public void TakeWhatCame()
    {
        if (_parts.Forecasts.Take() is { } forecast) TakeForecast(forecast);
        try
        {
            if (_parts.Answers is not { } answers || answers.LastUs() == _answersUs)
                return;
            foreach (var answer in answers.Rows().Where(answer => answer.ReceivedUs > _answersUs))
            {
                _log.Information("{Answer}", Board.Season.Answer(answer.ToAnswer()));
                _answersUs = answer.ReceivedUs; // One more may have come since the look.
            }
        }
        catch (SqliteException failure) when (!StoreRefusal.IsSpoilt(failure))
        {
            _log.Warning("The answers to alerts cannot be looked at ({Reason}); it is tried again in a second.", failure.Message);
        }
    }

    /// <summary>A forecast came.</summary>
    public void TakeForecast(Forecast forecast)
    {
        (_forecast, _lookedAhead) = (forecast, DateTimeOffset.MinValue);
        try
        {
            _store.KeepForecast(ForecastJson.Write(forecast));
        }
        catch (SqliteException failure) when (!StoreRefusal.IsSpoilt(failure))
        {
            _log.Warning("The forecast could not be kept ({Reason}); it is used all the same.", failure.Message);
        }
    }

    /// <summary>How the installation is, each minute; what lies ahead, each hour and after a forecast.</summary>
    /// <param name="now">Now.</param>
    /// <param name="clockWrong">The trouble with the computer's clock that stands; <c>null</c>: none.</param>
    public void LookAround(DateTimeOffset now, ClockWrong? clockWrong)
    {
        List<Occasion> found = [.. _parts.LookAround?.Invoke(now) ?? []];
        if (_parts.LookAhead is { } ahead && now - _lookedAhead >= TimeSpan.FromHours(1))
        {
            _lookedAhead = now;
            found.AddRange(
                ahead(
                    new Outlook(
                        Board.Season.Watches, _journal, _forecast is { } forecast && !forecast.IsStale(now) ? forecast : null, now)));
        }

        foreach (var occasion in found) Board.Season.Consider(occasion);
        _parts.OnTroubles?.Invoke(clockWrong is null ? Board.Season.Troubles : Board.Season.Troubles.Append(clockWrong));
    }

    /// <summary>
    /// The levels that are not clear, as a sentence. What a changed rule or journal takes back is no event, and would be told nowhere else.
    /// </summary>
    private static string Raised(Board board)
    {
        var raised = board.Season.Watches.Values
            .SelectMany(watch => watch.Risks
                .Where(risk => risk.Level != Level.Clear)
                .Select(risk => $"{risk.Level.Word()} for {watch.Site.Called(risk.Planting)} at {watch.Site.Id}"))
            .ToList();
        return raised.Count switch
        {
            0 => "So judged, every level is clear",
            > MostNamed => FormattableString.Invariant($"So judged, {raised.Count} levels are not clear"),
            _ => $"So judged, the level is {string.Join(", ", raised)}",
        };
    }

    private Board Rebuild(DateTimeOffset minute, out long count, DateTimeOffset? storedUntil = null, TurnWatch? turns = null)
    {
        List<string> findings = [];
        if (_parts.Journal is { } book)
        {
            _journalNumber = book.LastNumber();
            var standing = JournalRow.Standing(book.Rows());
            _journal = StoredSeason.Sound(_sites, standing, findings);
            findings.AddRange(JournalCheck.Strangers(standing, _sites).Select(stranger => stranger.Text));
            foreach (var finding in findings) _log.Warning("{Finding}", finding);
        }

        var answers = _parts.Answers?.Rows() ?? [];
        _answersUs = answers.Count > 0 ? answers[^1].ReceivedUs : 0;
        var board = new Board(
            _sites,
            _series.Values,
            _parts.Journal is null ? null : _journal,
            _parts.Alerts,
            [.. _store.Events().Select(known => known.Key)],
            _seasonStart,
            _store.Outages(),
            _parts.KeepAlmanac,
            _log);
        // What cannot be true is left out from the first: a stamp of a far year would make years pass.
        long fed = 0;
        board.Season.Feed(
            SeriesMaps.Season(_store, _series, _seasonStart),
            [.. answers.Select(answer => answer.ToAnswer())],
            storedUntil,
            _ =>
            {
                if (++fed % FedPerTurn == 0)
                    turns?.Turn();
            });
        if (_store.DamagedReadings is > 0 and var damaged)
            throw new SqliteException(
                FormattableString.Invariant($"stored readings that are not as they were written: {damaged}"), raw.SQLITE_CORRUPT);
        board.Season.AdvanceTo(minute);
        count = fed;
        return board;
    }
}
