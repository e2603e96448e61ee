using BackyardSentinel.Alerting;
using BackyardSentinel.Commands.Replay;
using BackyardSentinel.Garden;
using BackyardSentinel.Infection;
using BackyardSentinel.Phenology;
using BackyardSentinel.Tuning;
using BackyardSentinel.Weather;

namespace BackyardSentinel.Commands.Tune;

/// <summary>What other limits would have changed in the last season of a log, had they given the level.</summary>
/// <param name="Year">The year of its spring.</param>
/// <param name="WindowsCome">Windows that would have opened besides.</param>
/// <param name="WindowsGo">Windows that would not have opened.</param>
/// <param name="MessagesCome">Messages that would have come besides.</param>
/// <param name="MessagesGo">Messages that would not have come.</param>
internal sealed record TuneChange(
    int Year,
    IReadOnlyList<InfectionWindow> WindowsCome,
    IReadOnlyList<InfectionWindow> WindowsGo,
    IReadOnlyList<Alert> MessagesCome,
    IReadOnlyList<Alert> MessagesGo)
{
    /// <summary>Judges the logs twice more, as the service would have, with the limits as they are and as they were found.</summary>
    public static TuneChange Of(LogWish wish, LimitSearch search, SeasonCalendar calendar)
    {
        var (now, then) = (Judged(search.Present), Judged(search.Found(0)));
        var year = Year(now.End!.Value);
        var rule = search.Present.Rule.Rule.Word();
        return new TuneChange(
            year, Windows(then, now), Windows(now, then), Messages(then, now), Messages(now, then));

        ReplayResult Judged(LimitSet set) => wish.Judge(set.At(wish.Site), wish.Journal, wish.Alerts, wish.Ahead);

        int Year(DateTimeOffset at) =>
            LocalDay.Of(at, wish.Site.Zone) is var day && calendar.SeasonOf(day) is { } season ? season.Year : day.Year;

        DateOnly Day(DateTimeOffset at) => LocalDay.Of(at, wish.Site.Zone);

        // A window that opens an hour earlier is the same one, of the same wet days.
        IReadOnlyList<InfectionWindow> Windows(ReplayResult of, ReplayResult other) =>
        [
            .. of.Windows.Where(window => window.Rule == rule
                && Year(window.OpenedAt) == year
                && !other.Windows.Any(one => one.Rule == rule
                    && one.Planting == window.Planting
                    && one.OpenedAt <= window.ClosedAt
                    && window.OpenedAt <= one.ClosedAt)),
        ];

        // And so is a message that comes some hours earlier, also over midnight.
        IReadOnlyList<Alert> Messages(ReplayResult of, ReplayResult other) =>
        [
            .. of.Alerts.Where(alert => Year(alert.At) == year
                && !other.Alerts.Any(one => one.Kind == alert.Kind
                    && one.Level == alert.Level
                    && one.Plantings.SequenceEqual(alert.Plantings)
                    && Math.Abs(Day(one.At).DayNumber - Day(alert.At).DayNumber) <= 1)),
        ];
    }
}
