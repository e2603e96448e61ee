namespace BackyardSentinel.Alerting;

/// <summary>The first dormant spray, or the last one before the buds swell, is due soon.</summary>
/// <param name="Site">The site's id.</param>
/// <param name="Planting">The planting's id.</param>
/// <param name="At">When it came about, UTC.</param>
/// <param name="ExpectedSwell">Local day on which bud swell is expected.</param>
/// <param name="EarlySwell">The early end of its range.</param>
/// <param name="LateSwell">The late end of its range.</param>
/// <param name="DaysLeft">Days left to the early end, 0 or more.</param>
public sealed record SprayDeadlineNear(
    string Site, string Planting, DateTimeOffset At, DateOnly ExpectedSwell, DateOnly EarlySwell, DateOnly LateSwell, int DaysLeft)
    : PlantingOccasion(Site, Planting, At)
{
    /// <inheritdoc/>
    public override string Kind => "spray-deadline-near";

    /// <summary>
    /// One for each winter, however the expected day moves: two months are added so that no winter's swell straddles a new year.
    /// </summary>
    public override string Story => StoryOf(ExpectedSwell);

    /// <inheritdoc/>
    public override string Subject => SubjectOf(Site, Planting);

    /// <summary>A deadline is told from so many days before it (assumed).</summary>
    public const int FirstDaysLeft = 14;

    /// <summary>14, 7 and 3 days before the early end are rungs of their own (assumed).</summary>
    public override int Rung => DaysLeft switch { <= 3 => 3, <= 7 => 2, <= FirstDaysLeft => 1, _ => 0 };

    /// <inheritdoc/>
    public override DateTimeOffset UsefulUntil => EndOf(LateSwell);

    /// <inheritdoc/>
    public override Urgency Urgency => DaysLeft <= 3 ? Urgency.High : Urgency.Normal;

    internal static string StoryOf(DateOnly expectedSwell) => $"deadline/{expectedSwell.AddDays(60).Year:0000}";

    internal static string SubjectOf(string? site, string? planting) => $"{site}/{planting}/spray-deadline-near";

    /// <inheritdoc/>
    public override Wait Wait => Wait.Morning;

    /// <inheritdoc/>
    public override void WriteFacts(IFactWriter facts)
    {
        facts.Whole("days_left", DaysLeft);
        facts.Day("expected_swell", ExpectedSwell);
        facts.Day("early_swell", EarlySwell);
        facts.Day("late_swell", LateSwell);
    }
}
