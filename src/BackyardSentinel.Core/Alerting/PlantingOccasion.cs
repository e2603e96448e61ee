using BackyardSentinel.Garden;
using BackyardSentinel.Infection;

namespace BackyardSentinel.Alerting;

/// <summary>An occasion about one planting. The periods of use below are assumed, unless they follow from a date.</summary>
public abstract record PlantingOccasion : Occasion
{
    private protected PlantingOccasion(string site, string planting, DateTimeOffset at)
        : base(site, at) => PlantingId = planting;

    /// <summary>The planting's id.</summary>
    public string PlantingId { get; }

    /// <inheritdoc/>
    public override string? Planting => PlantingId;

    /// <summary>The episode without site and planting: what several plantings of a site may have in common.</summary>
    public abstract string Story { get; }

    /// <inheritdoc/>
    public sealed override string Episode => $"{Site}/{Planting}/{Story}";

    /// <inheritdoc/>
    public override string Subject => $"{Site}/{Planting}/{Kind}";
}

/// <summary>The forecast lets a wet spell grow into an infection window.</summary>
/// <param name="Site">The site's id.</param>
/// <param name="Planting">The planting's id.</param>
/// <param name="At">When it came about, UTC.</param>
/// <param name="Expected">The level the forecast leads to.</param>
/// <param name="ExpectedAt">When it would be reached, UTC.</param>
/// <param name="WetHours">Wet hours up to then, h; <c>null</c> where the rule counts none.</param>
/// <param name="RainMm">Rain up to then, mm; <c>null</c> where the rule counts none.</param>
/// <param name="MeanTempC">Mean temperature of the wet time, or of what the rule looks at, °C; <c>null</c> where unknown.</param>
/// <param name="Issued">When the forecast was made, UTC.</param>
public sealed record WindowAhead(
    string Site,
    string Planting,
    DateTimeOffset At,
    Level Expected,
    DateTimeOffset ExpectedAt,
    double? WetHours,
    double? RainMm,
    double? MeanTempC,
    DateTimeOffset Issued
) : PlantingOccasion(Site, Planting, At)
{
    /// <summary>The rule that gives the level.</summary>
    public required string Rule { get; init; }

    /// <summary>The rule that it is a variant of; <c>null</c>: it is none.</summary>
    public RuleName? VariantOf { get; init; }

    /// <summary>What is left of a protectant; <c>null</c> where unknown.</summary>
    public Cover? Cover { get; init; }

    /// <inheritdoc/>
    public override string Kind => "window-ahead";

    /// <summary>Each new forecast moves the hour, so the day names the episode.</summary>
    public override string Story => $"ahead/{Stamp(DateOnly.FromDateTime(ExpectedAt.UtcDateTime))}";

    /// <inheritdoc/>
    public override DateTimeOffset UsefulUntil => ExpectedAt;

    /// <inheritdoc/>
    public override int Rung => (int)Expected;

    /// <inheritdoc/>
    public override Urgency Urgency => Cover == Garden.Cover.Fresh ? Urgency.Low : Urgency.Normal;

    /// <inheritdoc/>
    public override Level? Level => Expected;

    /// <inheritdoc/>
    public override Wait Wait => Wait.None;

    /// <inheritdoc/>
    public override void WriteFacts(IFactWriter facts)
    {
        facts.Level("level", Expected);
        facts.Whole("level_number", (int)Expected);
        facts.Moment("expected_at", ExpectedAt);
        facts.Moment("issued", Issued);
        facts.Text("rule", Rule);
        facts.Text("variant_of", VariantOf?.Word());
        facts.Tenths("wet_hours", WetHours);
        facts.Rain("rain", RainMm);
        facts.Temperature("mean_temp", MeanTempC);
        facts.Text("cover", Cover?.Word());
    }
}

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

/// <summary>A stretch of hours fit for spraying one product was found in the forecast.</summary>
/// <param name="Site">The site's id.</param>
/// <param name="Planting">The planting's id.</param>
/// <param name="At">When it came about, UTC.</param>
/// <param name="Product">The product's id in the garden file.</param>
/// <param name="Start">Its start, UTC.</param>
/// <param name="End">Its end, UTC.</param>
public sealed record SpraySlotFound(
    string Site,
    string Planting,
    DateTimeOffset At,
    string Product,
    DateTimeOffset Start,
    DateTimeOffset End
) : PlantingOccasion(Site, Planting, At)
{
    /// <summary>The product's name as the grower wrote it; its id where none was given.</summary>
    public string ProductName { get; init; } = Product;

    /// <summary>The spray it would serve, in words.</summary>
    public string? Serves { get; init; }

    /// <summary>Local day before which that spray should be done; <c>null</c>: not known.</summary>
    public DateOnly? Deadline { get; init; }

    /// <inheritdoc/>
    public override string Kind => "spray-slot-found";

    /// <inheritdoc/>
    public override string Story => $"slot/{Product}/{Stamp(DateOnly.FromDateTime(Start.UtcDateTime))}";

    /// <inheritdoc/>
    public override string Subject => $"{Site}/{Planting}/slot/{Product}";

    /// <inheritdoc/>
    public override DateTimeOffset UsefulUntil => End;

    /// <inheritdoc/>
    public override Urgency Urgency => Urgency.Normal;

    /// <inheritdoc/>
    public override Wait Wait => Wait.Daytime;

    /// <inheritdoc/>
    public override void WriteFacts(IFactWriter facts)
    {
        facts.Named("product", Product, ProductName);
        facts.Moment("start", Start);
        facts.Moment("end", End);
        facts.Text("serves", Serves);
        facts.Day("deadline", Deadline);
    }
}

/// <summary>Rain has worked on the cover: it should be looked at again.</summary>
/// <param name="Site">The site's id.</param>
/// <param name="Planting">The planting's id.</param>
/// <param name="At">When it came about, UTC.</param>
/// <param name="Product">The product's id in the garden file.</param>
/// <param name="RainMm">Rain since it dried, mm.</param>
/// <param name="SprayedOn">The local day of the spray.</param>
public sealed record CoverToRecheck(string Site, string Planting, DateTimeOffset At, string Product, double RainMm, DateOnly SprayedOn)
    : PlantingOccasion(Site, Planting, At)
{
    /// <summary>The product's name as the grower wrote it; its id where none was given.</summary>
    public string ProductName { get; init; } = Product;

    /// <inheritdoc/>
    public override string Kind => "cover-to-recheck";

    /// <inheritdoc/>
    public override string Story => $"cover/{Product}/{Stamp(SprayedOn)}";

    /// <inheritdoc/>
    public override string Subject => $"{Site}/{Planting}/cover/{Product}";

    /// <inheritdoc/>
    public override DateTimeOffset UsefulUntil => At.AddDays(7);

    /// <inheritdoc/>
    public override Urgency Urgency => Urgency.Low;

    /// <inheritdoc/>
    public override Wait Wait => Wait.None;

    /// <inheritdoc/>
    public override void WriteFacts(IFactWriter facts)
    {
        facts.Named("product", Product, ProductName);
        facts.Rain("rain", RainMm);
        facts.Day("sprayed_on", SprayedOn);
        facts.Text("cover", Cover.Recheck.Word());
    }
}

/// <summary>Rain has taken the cover off.</summary>
/// <param name="Site">The site's id.</param>
/// <param name="Planting">The planting's id.</param>
/// <param name="At">When it came about, UTC.</param>
/// <param name="Product">The product's id in the garden file.</param>
/// <param name="RainMm">Rain since it dried, mm.</param>
/// <param name="SprayedOn">The local day of the spray.</param>
public sealed record CoverSpent(string Site, string Planting, DateTimeOffset At, string Product, double RainMm, DateOnly SprayedOn)
    : PlantingOccasion(Site, Planting, At)
{
    /// <summary>The product's name as the grower wrote it; its id where none was given.</summary>
    public string ProductName { get; init; } = Product;

    /// <inheritdoc/>
    public override string Kind => "cover-spent";

    /// <summary>The same story as <see cref="CoverToRecheck"/>, one rung up.</summary>
    public override string Story => $"cover/{Product}/{Stamp(SprayedOn)}";

    /// <inheritdoc/>
    public override string Subject => $"{Site}/{Planting}/cover/{Product}";

    /// <inheritdoc/>
    public override int Rung => 1;

    /// <inheritdoc/>
    public override DateTimeOffset UsefulUntil => At.AddDays(7);

    /// <inheritdoc/>
    public override Urgency Urgency => Urgency.Normal;

    /// <inheritdoc/>
    public override Wait Wait => Wait.None;

    /// <inheritdoc/>
    public override void WriteFacts(IFactWriter facts)
    {
        facts.Named("product", Product, ProductName);
        facts.Rain("rain", RainMm);
        facts.Day("sprayed_on", SprayedOn);
        facts.Text("cover", Cover.Spent.Word());
    }
}

/// <summary>It is time to look at the leaves for curl from one infection window.</summary>
/// <param name="Site">The site's id.</param>
/// <param name="Planting">The planting's id.</param>
/// <param name="At">When it came about, UTC.</param>
/// <param name="WindowOpened">When the window opened, UTC.</param>
/// <param name="LikelyFrom">First local day on which curl is likely to show.</param>
/// <param name="LikelyTo">Last such day.</param>
public sealed record ScoutingDue(
    string Site,
    string Planting,
    DateTimeOffset At,
    DateTimeOffset WindowOpened,
    DateOnly LikelyFrom,
    DateOnly LikelyTo
) : PlantingOccasion(Site, Planting, At)
{
    /// <inheritdoc/>
    public override string Kind => "scouting-due";

    /// <inheritdoc/>
    public override string Story => $"scouting/{Stamp(WindowOpened)}";

    /// <summary>A warm day speaks against disease.</summary>
    public bool MayNotDevelop { get; init; }

    /// <summary>It is the second look, in the likely days.</summary>
    public bool Likely { get; init; }

    /// <summary>The second look is news after the first.</summary>
    public override int Rung => Likely ? 1 : 0;

    /// <summary>Curl is possible for about another six days after the likely ones.</summary>
    public override DateTimeOffset UsefulUntil => EndOf(LikelyTo.AddDays(6));

    /// <inheritdoc/>
    public override Urgency Urgency => Urgency.Normal;

    /// <inheritdoc/>
    public override Wait Wait => Wait.Morning;

    /// <inheritdoc/>
    public override void WriteFacts(IFactWriter facts)
    {
        facts.Moment("window_opened", WindowOpened);
        facts.Day("likely_from", LikelyFrom);
        facts.Day("likely_to", LikelyTo);
        facts.Flag("may_not_develop", MayNotDevelop);
        facts.Temperature("too_warm", Incubation.TooWarmC);
    }
}

/// <summary>Curled leaves should be picked before they turn white.</summary>
/// <param name="Site">The site's id.</param>
/// <param name="Planting">The planting's id.</param>
/// <param name="At">When it came about, UTC.</param>
/// <param name="CurlSeenOn">The local day on which curl was seen.</param>
public sealed record PickingDue(string Site, string Planting, DateTimeOffset At, DateOnly CurlSeenOn) : PlantingOccasion(Site, Planting, At)
{
    /// <inheritdoc/>
    public override string Kind => "picking-due";

    /// <inheritdoc/>
    public override string Story => $"picking/{Stamp(CurlSeenOn)}";

    /// <inheritdoc/>
    public override DateTimeOffset UsefulUntil => At.AddDays(14);

    /// <inheritdoc/>
    public override Urgency Urgency => Urgency.Normal;

    /// <inheritdoc/>
    public override Wait Wait => Wait.Morning;

    /// <inheritdoc/>
    public override void WriteFacts(IFactWriter facts) => facts.Day("curl_seen_on", CurlSeenOn);
}

/// <summary>The danger is over for the year.</summary>
/// <param name="Site">The site's id.</param>
/// <param name="Planting">The planting's id.</param>
/// <param name="At">When it came about, UTC.</param>
/// <param name="WarmDays">Closed by a run of warm days; otherwise the tissue has hardened.</param>
public sealed record SeasonClosed(string Site, string Planting, DateTimeOffset At, bool WarmDays) : PlantingOccasion(Site, Planting, At)
{
    /// <summary>Curl of earlier windows may still show.</summary>
    public bool CurlMayShow { get; init; }

    /// <summary>Its rain shelter is on, and may come off.</summary>
    public bool Sheltered { get; init; }

    /// <inheritdoc/>
    public override string Kind => "season-closed";

    /// <inheritdoc/>
    public override string Story => $"season/{At.UtcDateTime.Year:0000}";

    /// <inheritdoc/>
    public override DateTimeOffset UsefulUntil => At.AddDays(14);

    /// <inheritdoc/>
    public override Urgency Urgency => Urgency.Low;

    /// <inheritdoc/>
    public override Wait Wait => Wait.Morning;

    /// <inheritdoc/>
    public override void WriteFacts(IFactWriter facts)
    {
        facts.Flag("warm_days", WarmDays);
        facts.Flag("curl_may_show", CurlMayShow);
        facts.Flag("sheltered", Sheltered);
        facts.Temperature("warm_above", SusceptibleSeason.WarmAboveC);
    }
}
