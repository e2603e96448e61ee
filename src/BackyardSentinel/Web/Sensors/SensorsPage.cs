using System.Text;
using BackyardSentinel.Alerting;
using BackyardSentinel.Garden;
using BackyardSentinel.Live;
using BackyardSentinel.Sensors;
using BackyardSentinel.Storage;
using BackyardSentinel.Weather;
using BackyardSentinel.Web.Drawing;

namespace BackyardSentinel.Web.Sensors;

/// <summary>Puts the sensors of a site into words: is anything wrong?</summary>
internal static class SensorsPage
{
    private static readonly TimeSpan Day = TimeSpan.FromHours(24), Week = TimeSpan.FromDays(7);

    private const long MsOfHour = 3_600_000;

    /// <summary>So many refusals are shown of one series.</summary>
    private const int MostRefusals = 3;

    /// <summary>Looks at the garden. Runs on the loop's thread; nothing of what it gives changes later.</summary>
    /// <param name="visit">The visit.</param>
    /// <param name="now">The garden now.</param>
    public static SensorsState Look(Visit visit, GardenNow now)
    {
        var watch = visit.WatchIn(now);
        return new SensorsState(
            Leaves.Of(visit, now, Chapter.Sensors),
            now.At,
            watch.LastInterval is { } last ? last.End : null,
            [.. watch.Doubts],
            [.. now.Troubles.Where(one => one.Site == visit.Site.Id || one is ClockWrong)],
            [.. Leaves.Unheard(visit, now)],
            now.Batteries.ToDictionary());
    }

    /// <summary>Makes the view.</summary>
    /// <param name="visit">The visit.</param>
    /// <param name="state">How the garden stands.</param>
    /// <param name="store">What the store has of it.</param>
    public static SensorsView Of(Visit visit, SensorsState state, SensorsLook store)
    {
        var words = visit.Words;
        List<SeriesMap> series = [.. visit.Parts.Garden.SeriesOf(visit.Site.Id)];
        var views = series.Select(one => View(visit, state, store, one)).ToList();
        var refused = (int)series.SelectMany(one => RefusedOf(store, one, state.At - Day)).Distinct().Sum(row => Math.Min(row.Count, 1000));
        return new SensorsView(
            state.Leaf,
            Headline(visit, state, store, series, refused),
            state.JudgedUntil is { } until
                ? words.Say(
                    "sensors.as-of",
                    ("site", visit.Site.Id),
                    ("time", words.Moment(state.At, state.At)),
                    ("judged", words.Moment(until, state.At)))
                : words.Say("sensors.as-of.none", ("site", visit.Site.Id)),
            [.. state.Unheard, .. state.Troubles.Select(one => Trouble(visit, state, one)).OfType<string>()],
            views,
            Hours(visit, state, store, series),
            [.. series.SelectMany(one => Silences(visit, state, store, one))],
            visit.Link(MessagePage.Path),
            visit.Link(Leaves.PathOf(Chapter.SetUp)));
    }

    private static string Headline(Visit visit, SensorsState state, SensorsLook store, List<SeriesMap> series, int refused)
    {
        var words = visit.Words;
        if (state.Unheard.Count > 0)
            return words.Say("sensors.unheard");
        if (series.All(one => LastDay(state, store, one).Count == 0))
            return words.Say(refused > 0 ? "sensors.nothing.taken" : "sensors.nothing");
        var silent = state.Troubles.Sum(one => one switch { SensorsSilent many => many.Count, SensorSilent => 1, _ => 0 });
        var heard = silent > 0
            ? words.Count("sensors.silent", silent, ("all", words.Number(series.Count)))
            : words.Count("sensors.heard", series.Count);
        var doubted = state.Doubts.Count > 0 ? " " + words.Count("sensors.doubted", state.Doubts.Count) : "";
        var low = Leaves.LowBatteries(visit, state.Batteries) is > 0 and var many ? " " + words.Count("sensors.battery-low", many) : "";
        var stuck = Leaves.Stuck(state.Troubles, visit.Site) is > 0 and var count ? " " + words.Count("sensors.stuck-count", count) : "";
        return heard + doubted + low + stuck + (refused > 0 ? " " + words.Count("sensors.refused", refused) : "");
    }

    private static SeriesView View(Visit visit, SensorsState state, SensorsLook store, SeriesMap series)
    {
        var (words, readings) = (visit.Words, LastDay(state, store, series));
        var name = Capital(words.Quantity(series.Quantity));
        StoredReading? last = readings.Count > 0 ? readings[^1] : null;
        var range = readings.Count == 0 ? "" : series.Quantity == Quantity.Rain
            ? words.Say("sensors.range.rain", ("sum", words.Value(series.Quantity, readings.Sum(one => one.Value))))
            : words.Say(
                "sensors.range",
                ("low", words.Value(series.Quantity, readings.Min(one => one.Value))),
                ("high", words.Value(series.Quantity, readings.Max(one => one.Value))));
        return new SeriesView(
            name,
            series.Label,
            last is { } reading ? words.Value(series.Quantity, reading.Value) : words.Say("sensors.none"),
            last is { } one ? Age(visit, state, readings, one)
                : words.Say(RefusedOf(store, series, state.At - Day).Any() ? "sensors.none.taken" : "sensors.none.day"),
            readings.Count == 0 ? null
                : series.Quantity == Quantity.Rain
                    ? SparkLine.Bars([.. HourStarts(state).Select(hour => Sum(readings, hour))], $"{name}: {range}")
                    : SparkLine.Line(
                        [.. readings.Select(each => (Place(state, each), each.Value))],
                        visit.Site.Hold / Day,
                        $"{name}: {range}"),
            range,
            state.Batteries.TryGetValue(series.Name, out var level) && level >= series.BatteryLow
                ? words.Say("sensors.battery", ("level", words.Number(level, "0.##")), ("low", words.Number(series.BatteryLow, "0.##")))
                : null,
            series.Path is { } path ? $"{series.Topic} · {path}" : series.Topic,
            [.. Wrong(visit, state, store, series)]);
    }

    private static string Age(Visit visit, SensorsState state, IReadOnlyList<StoredReading> readings, StoredReading last)
    {
        var words = visit.Words;
        var age = Span(visit, state.At - DateTimeOffset.FromUnixTimeMilliseconds(last.TimeMs));
        List<long> gaps = [.. readings.Zip(readings.Skip(1), (one, next) => next.TimeMs - one.TimeMs).Order()];
        return gaps.Count < 2
            ? words.Say("sensors.age", ("age", age))
            : words.Say("sensors.age.every", ("age", age), ("every", Span(visit, TimeSpan.FromMilliseconds(gaps[gaps.Count / 2]))));
    }

    /// <summary>What is wrong with a series: a doubt about all of it, and single values that were refused.</summary>
    private static IEnumerable<WrongValue> Wrong(Visit visit, SensorsState state, SensorsLook store, SeriesMap series)
    {
        var words = visit.Words;
        foreach (var doubt in state.Doubts.Where(one => one.Quantity == series.Quantity && one.Rank == series.Rank))
            yield return new WrongValue(
                words.Say("sensors.doubt", ("seen", Capital(words.Say(doubt.Seen(words.Units).Ended()))),
                    ("since", words.Moment(doubt.Since, state.At)), ("remedy", RemarkLog.Ended(words.Say(doubt.Remedy)))));
        if (state.Batteries.TryGetValue(series.Name, out var level) && level < series.BatteryLow)
            yield return new WrongValue(
                words.Say("sensors.battery.low", ("level", words.Number(level, "0.##")), ("low", words.Number(series.BatteryLow, "0.##"))));
        foreach (var trouble in state.Troubles)
        {
            if (trouble is SensorSilent silent && silent.Series == series.Name)
                yield return new WrongValue(
                    words.Say(
                        silent.IsLate ? "sensors.late-since" : silent.Unheard ? "sensors.silent-since-unheard" : "sensors.silent-since",
                        ("since", words.Moment(silent.Since, state.At))));
            if (trouble is SensorStuck stuck && stuck.Series == series.Name)
                yield return new WrongValue(
                    words.Say(
                        "sensors.stuck",
                        ("value", words.Value(series.Quantity, stuck.Value)),
                        ("since", words.Moment(stuck.Since, state.At))));
        }

        foreach (var row in RefusedOf(store, series, state.At - Week).Take(MostRefusals))
        {
            var at = words.Moment(StoredTime.ToMoment(row.ReceivedUs), state.At);
            var text = row.Value is { } value
                ? words.Tell("sensors.refused-value", ("reason", row.Reason.Ended()), ("time", at),
                    ("value", words.Figure(words.Units.Said(series.Quantity, value))))
                : words.Tell("sensors.refused-message", ("reason", row.Reason.Ended()), ("time", at));
            if (row.Count > 1)
            {
                var since = words.Moment(StoredTime.ToMoment(row.FirstUs), state.At);
                text.Append(" " + words.Say("sensors.refused-often", ("count", words.Number(row.Count)), ("since", since)));
            }

            yield return new WrongValue(text, TerminalText.Plain(Encoding.UTF8.GetString(row.Payload)));
        }
    }

    private static IEnumerable<QuarantinedMessage> RefusedOf(SensorsLook store, SeriesMap series, DateTimeOffset since) => store.Refused
        .Where(row =>
        StoredTime.ToMoment(row.ReceivedUs) >= since && Refusals.MayConcern(row, series, store.IsAlone(series)));

    private static string? Trouble(Visit visit, SensorsState state, Occasion trouble) => trouble switch
    {
        SensorsSilent many => visit.Words.Say(
            many.IsLate ? "sensors.late-together" : many.Unheard ? "sensors.silent-unheard" : "sensors.silent-together",
            ("count", visit.Words.Number(many.Count)),
            ("since", visit.Words.Moment(many.Since, state.At))),
        ClockWrong clock => visit.Words.Say("sensors.clock", ("minutes", visit.Words.Number(Math.Abs(clock.OffBy.TotalMinutes), "0"))),
        _ => null,
    };

    private static IReadOnlyList<StoredReading> LastDay(SensorsState state, SensorsLook store, SeriesMap series) =>
        store.Of(series, state.At - Day);

    private static IEnumerable<(string, string, string)> Silences(Visit visit, SensorsState state, SensorsLook store, SeriesMap series)
    {
        // A gauge that speaks only when it rains is well when it is quiet.
        if (series.Quantity == Quantity.Rain)
            yield break;
        // In a garden that is younger than the look back nobody was silent before it began.
        var (words, begin) = (visit.Words, store.First is { } first && first > state.At - SensorsLook.LooksBack ? first
            : state.At - SensorsLook.LooksBack);
        var last = begin;
        foreach (var at in store.Of(series).Select(one => DateTimeOffset.FromUnixTimeMilliseconds(one.TimeMs)).Append(state.At))
        {
            if (at - last > visit.Site.Hold)
                yield return (
                    Capital(words.Quantity(series.Quantity)),
                    last == begin ? words.Say("sensors.before") : words.Moment(last, state.At),
                    at == state.At ? words.Say("sensors.still") : words.Moment(at, state.At));
            last = at;
        }
    }

    private static IReadOnlyList<(string, IReadOnlyList<string>)> Hours(
        Visit visit, SensorsState state, SensorsLook store, List<SeriesMap> series)
    {
        var words = visit.Words;
        var starts = HourStarts(state).ToList();
        var first = starts[0].ToUnixTimeMilliseconds();
        var byHour = series.ConvertAll(one => (
            one.Quantity,
            Hours: store.Of(one, starts[0]).ToLookup(each => (each.TimeMs - first) / MsOfHour, each => each.Value)));
        return
        [
            .. Enumerable.Range(0, starts.Count).Reverse().Select(hour => (
                words.Clock(starts[hour]),
                (IReadOnlyList<string>)
                [
                    .. byHour.Select(one => one.Hours[hour].ToList() is not { Count: > 0 } values ? words.Say("sensors.no-value")
                        : words.Value(one.Quantity, one.Quantity == Quantity.Rain ? values.Sum() : values.Average())),
                ])),
        ];
    }

    private static IEnumerable<DateTimeOffset> HourStarts(SensorsState state) =>
        Enumerable.Range(0, 24).Select(i => ClockHour.Of(state.At).AddHours(i - 23));

    private static double Sum(IReadOnlyList<StoredReading> readings, DateTimeOffset hour) => readings
        .Where(one => one.TimeMs >= hour.ToUnixTimeMilliseconds() && one.TimeMs < hour.AddHours(1).ToUnixTimeMilliseconds())
        .Sum(one => one.Value);

    private static double Place(SensorsState state, StoredReading reading) =>
        Math.Clamp(1 - (state.At - DateTimeOffset.FromUnixTimeMilliseconds(reading.TimeMs)) / Day, 0, 1);

    private static string Span(Visit visit, TimeSpan span) => span.TotalMinutes < 1 ? visit.Words.Say("sensors.span.now")
        : span.TotalMinutes < 120 ? visit.Words.Say("sensors.span.minutes", ("count", visit.Words.Number(span.TotalMinutes, "0")))
        : visit.Words.Hours(Math.Round(span.TotalHours, 1));

    private static string Capital(string text) => text.Length == 0 ? text : char.ToUpperInvariant(text[0]) + text[1..];
}

/// <summary>How the sensors of a site stand.</summary>
/// <param name="Leaf">What stands round the page.</param>
/// <param name="At">Now, UTC.</param>
/// <param name="JudgedUntil">Until when is judged; <c>null</c>: nothing yet.</param>
/// <param name="Doubts">Series that cannot be right.</param>
/// <param name="Troubles">What is wrong with sensors and the clock.</param>
/// <param name="Unheard">That nothing can be heard of the broker, if so.</param>
/// <param name="Batteries">What series told last of their batteries, as sent, by name.</param>
internal sealed record SensorsState(
    Leaf Leaf,
    DateTimeOffset At,
    DateTimeOffset? JudgedUntil,
    IReadOnlyList<SeriesDoubt> Doubts,
    IReadOnlyList<Occasion> Troubles,
    IReadOnlyList<string> Unheard,
    IReadOnlyDictionary<string, double> Batteries);
