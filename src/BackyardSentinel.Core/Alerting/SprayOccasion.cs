namespace BackyardSentinel.Alerting;

/// <summary>The spray after leaf fall is due.</summary>
/// <param name="Site">The site's id.</param>
/// <param name="Planting">The planting's id.</param>
/// <param name="At">When it came about, UTC.</param>
/// <param name="Season">The year of the spring that it is for.</param>
/// <param name="By">Local day before which it should be done.</param>
/// <param name="DaysLeft">Days left to it, 0 or more.</param>
/// <param name="LeavesDownOn">Local day from which enough leaves are down.</param>
/// <param name="Guessed">That day is guessed from the calendar; otherwise the grower noted it.</param>
public sealed record LeafFallSprayDue(
    string Site, string Planting, DateTimeOffset At, int Season, DateOnly By, int DaysLeft, DateOnly LeavesDownOn, bool Guessed)
    : PlantingOccasion(Site, Planting, At)
{
    /// <inheritdoc/>
    public override string Kind => "leaf-fall-spray-due";

    /// <inheritdoc/>
    public override string Story => $"leaf-fall-spray/{Season:0000}";

    /// <summary>When it falls due, and once more when few days are left (assumed).</summary>
    public override int Rung => DaysLeft <= 3 ? 1 : 0;

    /// <inheritdoc/>
    public override DateTimeOffset UsefulUntil => EndOf(By);

    /// <inheritdoc/>
    public override Urgency Urgency => Urgency.Normal;

    /// <inheritdoc/>
    public override Wait Wait => Wait.Morning;

    /// <inheritdoc/>
    public override void WriteFacts(IFactWriter facts)
    {
        facts.Day("by", By);
        facts.Whole("days_left", DaysLeft);
        facts.Day("leaves_down_on", LeavesDownOn);
        facts.Flag("guessed", Guessed);
    }
}

/// <summary>The safe date of the dormant spray has come and it is not done: it may still be time, or no longer.</summary>
/// <param name="Site">The site's id.</param>
/// <param name="Planting">The planting's id.</param>
/// <param name="At">When it came about, UTC.</param>
/// <param name="ExpectedSwell">Local day on which bud swell is expected.</param>
/// <param name="EarlySwell">The early end of its range, today or before.</param>
/// <param name="LateSwell">The late end of its range.</param>
public sealed record SprayLastChance(
    string Site, string Planting, DateTimeOffset At, DateOnly ExpectedSwell, DateOnly EarlySwell, DateOnly LateSwell)
    : PlantingOccasion(Site, Planting, At)
{
    /// <inheritdoc/>
    public override string Kind => "spray-last-chance";

    /// <inheritdoc/>
    public override string Subject => SprayDeadlineNear.SubjectOf(Site, Planting);

    /// <summary>The same story as <see cref="SprayDeadlineNear"/>, one rung above its last.</summary>
    public override string Story => SprayDeadlineNear.StoryOf(ExpectedSwell);

    /// <inheritdoc/>
    public override int Rung => 4;

    /// <summary>Until the late end of the range, but always long enough to be seen and acted on.</summary>
    public override DateTimeOffset UsefulUntil => Later(EndOf(LateSwell), At.AddDays(2));

    /// <inheritdoc/>
    public override Urgency Urgency => Urgency.High;

    /// <inheritdoc/>
    public override Wait Wait => Wait.Morning;

    /// <inheritdoc/>
    public override void WriteFacts(IFactWriter facts)
    {
        facts.Day("expected_swell", ExpectedSwell);
        facts.Day("early_swell", EarlySwell);
        facts.Day("late_swell", LateSwell);
    }
}

/// <summary>It is time to put the rain shelter over a planting on which nothing is sprayed.</summary>
/// <param name="Site">The site's id.</param>
/// <param name="Planting">The planting's id.</param>
/// <param name="At">When it came about, UTC.</param>
/// <param name="Season">The year of the spring that it is for.</param>
/// <param name="By">The earliest day of bud swell, by which it must be on at the latest; <c>null</c>: not known.</param>
/// <param name="DaysLeft">Days left to it, 0 or more; <c>null</c>: not known.</param>
/// <param name="Guessed">That the leaves are down is guessed from the calendar; otherwise the grower noted it.</param>
public sealed record ShelterDue(string Site, string Planting, DateTimeOffset At, int Season, DateOnly? By, int? DaysLeft, bool Guessed)
    : PlantingOccasion(Site, Planting, At)
{
    /// <inheritdoc/>
    public override string Kind => "shelter-due";

    /// <inheritdoc/>
    public override string Story => $"shelter/{Season:0000}";

    /// <summary>At leaf fall, a week before the earliest bud swell, and when that day has come (assumed).</summary>
    public override int Rung => DaysLeft switch { <= 0 => 2, <= 7 => 1, _ => 0 };

    /// <summary>Two weeks, and until the earliest bud swell where that is later (assumed).</summary>
    public override DateTimeOffset UsefulUntil => Later(By is { } by ? EndOf(by) : At, At.AddDays(14));

    /// <inheritdoc/>
    public override Urgency Urgency => Rung > 0 ? Urgency.High : Urgency.Normal;

    /// <inheritdoc/>
    public override Wait Wait => Wait.Morning;

    /// <inheritdoc/>
    public override void WriteFacts(IFactWriter facts)
    {
        facts.Day("by", By);
        facts.Whole("days_left", DaysLeft);
        facts.Flag("guessed", Guessed);
    }
}
