using BackyardSentinel.Live;
using BackyardSentinel.Storage;
using BackyardSentinel.Weather;

namespace BackyardSentinel.Web.Alerts;

/// <summary>One message as it was told, with its answer.</summary>
/// <param name="Leaf">What stands round it.</param>
/// <param name="Path">Its page.</param>
/// <param name="Title">Its title.</param>
/// <param name="Lines">Its lines.</param>
/// <param name="Sent">When it was sent, or that it was not.</param>
/// <param name="Answered">What was answered; <c>null</c>: nothing yet.</param>
/// <param name="Later">The waits to choose from: value, name, until when.</param>
public sealed record AlertView(
    Leaf Leaf,
    string Path,
    string Title,
    IReadOnlyList<string> Lines,
    string Sent,
    string? Answered,
    IReadOnlyList<(string Value, string Name, string Until)> Later);

/// <summary>The page of one message: where its link leads, and where it is answered by one touch.</summary>
internal static class AlertPage
{
    private const string EveningWait = "evening";
    private static readonly string[] Waits = ["2h", EveningWait, "morning"];
    private static readonly TimeOnly Evening = new(19, 0), Morning = new(7, 0);

    /// <summary>The page of a message.</summary>
    public static string PathOf(Visit visit, string id) => visit.Link("/alert/" + Uri.EscapeDataString(id));

    /// <summary>Makes the view.</summary>
    public static AlertView Of(Visit visit, GardenNow now, ToldAlert alert)
    {
        var words = visit.Words;
        var answered = alert.Answer is not { } answer ? null
            : answer.UntilMs is { } until
                ? words.Say("alert.answered.later", ("until", words.Moment(DateTimeOffset.FromUnixTimeMilliseconds(until), now.At)))
                : words.Say(
                    "alert.answered.seen",
                    ("time", words.Moment(StoredTime.ToMoment(answer.ReceivedUs), now.At)));
        return new AlertView(
            Leaves.Of(visit, now, null, alert.Message.Title),
            PathOf(visit, alert.Message.Id),
            alert.Message.Title,
            alert.Message.Text.Split('\n'),
            alert.DeliveredAt is { } at
                ? words.Say("alert.sent", ("time", words.Moment(at, now.At)))
                : words.Say("alert.not-sent", ("time", words.Moment(alert.Message.At, now.At))),
            answered,
            [
                .. Waits.Where(value => value != EveningWait || IsAhead(visit, now.At)).Select(value =>
                    (
                        value,
                        words.Say("alert.later." + value),
                        words.Say("alert.later.at", ("time", words.Moment(UntilOf(value, visit, now.At)!.Value, now.At))))),
            ]);
    }

    /// <summary>
    /// Until when a wait lasts; <c>null</c>: none is asked for. A word that is none of the three, or an evening that has begun, waits two
    /// hours.
    /// </summary>
    /// <param name="wait"><c>2h</c>, <c>evening</c> or <c>morning</c>.</param>
    /// <param name="visit">The visit.</param>
    /// <param name="now">Now.</param>
    public static DateTimeOffset? UntilOf(string? wait, Visit visit, DateTimeOffset now) => wait switch
    {
        null => null,
        EveningWait when IsAhead(visit, now) => Next(Evening, visit, now),
        "morning" => Next(Morning, visit, now),
        _ => now.AddHours(2),
    };

    /// <summary>This evening is still to come: in the evening it would be tomorrow's, a day of silence that nobody means.</summary>
    private static bool IsAhead(Visit visit, DateTimeOffset now) =>
        TimeOnly.FromDateTime(TimeZoneInfo.ConvertTime(now, visit.Site.Zone).DateTime) < Evening;

    /// <summary>The next time that the site's clock shows this.</summary>
    private static DateTimeOffset Next(TimeOnly clock, Visit visit, DateTimeOffset now)
    {
        var zone = visit.Site.Zone;
        var local = TimeZoneInfo.ConvertTime(now, zone);
        var day = DateOnly.FromDateTime(local.Date);
        if (TimeOnly.FromDateTime(local.DateTime) >= clock)
            day = day.AddDays(1);
        return LocalClock.Last(day, clock, zone); // Where the clocks leave it out, when they go on.
    }
}
