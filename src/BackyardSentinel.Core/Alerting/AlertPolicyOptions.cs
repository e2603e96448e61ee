using BackyardSentinel.Infection;

namespace BackyardSentinel.Alerting;

/// <summary>How much a phone may be asked to bear.</summary>
public sealed record AlertPolicyOptions
{
    /// <summary>The garden's zone: its local days are counted, its quiet hours kept.</summary>
    public TimeZoneInfo Zone { get; init; } = TimeZoneInfo.Utc;

    /// <summary>Messages on a local day, beside the morning's one summary and beside severe levels; 6 unless set, 1 to 50.</summary>
    public int MaxPerDay
    {
        get;
        init =>
            field = value is >= 1 and <= 50
                ? value
                : throw new ArgumentOutOfRangeException(nameof(value), value, "Messages a day: 1 to 50.");
    } = 6;

    /// <summary>Hours in which messages wait; <c>null</c>, the default: none.</summary>
    public QuietHours? Quiet { get; init; }

    /// <summary>A severe level does not wait for the end of the quiet hours; <c>false</c> unless set.</summary>
    public bool SeverePassesQuiet { get; init; }

    /// <summary>The lowest level told; possible unless set.</summary>
    public Level LeastLevel
    {
        get;
        init =>
            field =
                value >= Level.Building
                    ? value
                    : throw new ArgumentOutOfRangeException(
                        nameof(value),
                        value,
                        "The least level told: building, possible, likely or severe.");
    } = Level.Possible;

    /// <summary>
    /// Until when reminders of the day wait, and when the morning's summary goes out where there are no quiet hours, local time; 07:00
    /// unless set.
    /// </summary>
    public TimeOnly MorningAt { get; init; } = new(7, 0);

    /// <summary>
    /// From then on, until the morning, slots for spraying wait, local time; 21:00 unless set (assumed), not before the morning.
    /// </summary>
    public TimeOnly EveningAt { get; init; } = new(21, 0);

    /// <summary>
    /// A level is told so long after its rise, so that a quick further rise takes its place; 10 minutes unless set, 0 to 6 hours.
    /// </summary>
    public TimeSpan LevelHold { get; init => field = Checked(value, TimeSpan.Zero, TimeSpan.FromHours(6)); } = TimeSpan.FromMinutes(10);

    /// <summary>
    /// Silent sensors of a site are gathered so long, since what they share may be the cause; 15 minutes unless set, 0 to 6 hours.
    /// </summary>
    public TimeSpan SilenceGrace { get; init => field = Checked(value, TimeSpan.Zero, TimeSpan.FromHours(6)); } = TimeSpan.FromMinutes(15);

    /// <summary>
    /// The same subject at no higher rung is flapping, not news, until it has been still for so long; 12 hours unless set,
    /// 0 to 7 days. Two windows of the rule <c>wet-hours</c> lie at least 16.5 hours apart: 12.5 wet hours after a gap above 4.
    /// </summary>
    public TimeSpan RepeatAfter { get; init => field = Checked(value, TimeSpan.Zero, TimeSpan.FromDays(7)); } = TimeSpan.FromHours(12);

    private static TimeSpan Checked(TimeSpan value, TimeSpan least, TimeSpan most) =>
        value >= least && value <= most
            ? value
            : throw new ArgumentOutOfRangeException(nameof(value), value, $"A time from {least:c} to {most:c}.");
}
