using BackyardSentinel.Garden;
using BackyardSentinel.Weather;

namespace BackyardSentinel.Alerting;

/// <summary>An occasion about the installation itself. A trouble is useful to know for two days, a return for one (assumed).</summary>
public abstract record SystemOccasion : Occasion
{
    private protected SystemOccasion(string? site, DateTimeOffset at)
        : base(site, at)
    {
    }

    /// <inheritdoc/>
    public override string Subject => $"{Site}/{Kind}";

    /// <inheritdoc/>
    public override DateTimeOffset UsefulUntil => At.AddDays(2);

    /// <inheritdoc/>
    public override Urgency Urgency => Urgency.Normal;
}

/// <summary>A sensor has said nothing for longer than its limit.</summary>
/// <param name="Site">The site's id.</param>
/// <param name="At">When it came about, UTC.</param>
/// <param name="Series">The series' id, unique at its site.</param>
/// <param name="Quantity">What it measures.</param>
/// <param name="Since">Its last word, UTC.</param>
public sealed record SensorSilent(string Site, DateTimeOffset At, string Series, Quantity Quantity, DateTimeOffset Since)
    : SystemOccasion(Site, At)
{
    /// <inheritdoc/>
    public override string Kind => "sensor-silent";

    /// <inheritdoc/>
    public override string Episode => $"{Subject}/{Stamp(Since)}";

    /// <inheritdoc/>
    public override string Subject => $"{Site}/silence/{Series}";

    /// <inheritdoc/>
    public override Wait Wait => Wait.OtherSensors;

    /// <inheritdoc/>
    public override void WriteFacts(IFactWriter facts)
    {
        facts.Series("series", Series);
        facts.Quantity("quantity", Quantity);
        facts.Moment("since", Since);
    }
}

/// <summary>A sensor that was silent speaks again.</summary>
/// <param name="Site">The site's id.</param>
/// <param name="At">When it came about, UTC.</param>
/// <param name="Series">The series' id, unique at its site.</param>
/// <param name="Quantity">What it measures.</param>
/// <param name="SilentSince">Its last word before the silence, UTC.</param>
public sealed record SensorBack(string Site, DateTimeOffset At, string Series, Quantity Quantity, DateTimeOffset SilentSince)
    : SystemOccasion(Site, At)
{
    /// <inheritdoc/>
    public override string Kind => "sensor-back";

    /// <summary>The same story as <see cref="SensorSilent"/>, one rung up.</summary>
    public override string Episode => $"{Subject}/{Stamp(SilentSince)}";

    /// <inheritdoc/>
    public override string Subject => $"{Site}/silence/{Series}";

    /// <inheritdoc/>
    public override int Rung => 1;

    /// <inheritdoc/>
    public override DateTimeOffset UsefulUntil => At.AddDays(1);

    /// <inheritdoc/>
    public override Urgency Urgency => Urgency.Low;

    /// <inheritdoc/>
    public override Wait Wait => Wait.None;

    /// <inheritdoc/>
    public override void WriteFacts(IFactWriter facts)
    {
        facts.Series("series", Series);
        facts.Quantity("quantity", Quantity);
        facts.Moment("silent_since", SilentSince);
    }
}

/// <summary>Several sensors of a site fell silent together: what they share has failed.</summary>
/// <param name="Site">The site's id.</param>
/// <param name="At">When it came about, UTC.</param>
/// <param name="Count">Sensors that are silent, 1 or more.</param>
/// <param name="Since">The earliest last word among them, UTC.</param>
public sealed record SensorsSilent(string Site, DateTimeOffset At, int Count, DateTimeOffset Since) : SystemOccasion(Site, At)
{
    /// <inheritdoc/>
    public override string Kind => "sensors-silent";

    /// <inheritdoc/>
    public override string Episode => $"{Subject}/{Stamp(Since)}";

    /// <inheritdoc/>
    public override string Subject => $"{Site}/hub";

    /// <inheritdoc/>
    public override Urgency Urgency => Urgency.High;

    /// <inheritdoc/>
    public override Wait Wait => Wait.None;

    /// <inheritdoc/>
    public override void WriteFacts(IFactWriter facts)
    {
        facts.Whole("count", Count);
        facts.Moment("since", Since);
    }
}

/// <summary>The sensors behind a silent hub speak again.</summary>
/// <param name="Site">The site's id.</param>
/// <param name="At">When it came about, UTC.</param>
/// <param name="SilentSince">The <see cref="SensorsSilent.Since"/> of the silence, UTC.</param>
/// <param name="Back">Sensors heard again, 0 or more.</param>
/// <param name="StillSilent">Sensors not heard yet, 0 or more.</param>
public sealed record HubBack(string Site, DateTimeOffset At, DateTimeOffset SilentSince, int Back, int StillSilent)
    : SystemOccasion(Site, At)
{
    /// <inheritdoc/>
    public override string Kind => "sensors-back";

    /// <inheritdoc/>
    public override string Episode => $"{Subject}/{Stamp(SilentSince)}";

    /// <inheritdoc/>
    public override string Subject => $"{Site}/hub";

    /// <inheritdoc/>
    public override int Rung => 1;

    /// <inheritdoc/>
    public override DateTimeOffset UsefulUntil => At.AddDays(1);

    /// <inheritdoc/>
    public override Urgency Urgency => Urgency.Low;

    /// <inheritdoc/>
    public override Wait Wait => Wait.OtherSensors;

    /// <inheritdoc/>
    public override void WriteFacts(IFactWriter facts)
    {
        facts.Moment("silent_since", SilentSince);
        facts.Whole("back", Back);
        facts.Whole("still_silent", StillSilent);
    }
}

/// <summary>A sensor repeats one value although the weather cannot stand still so long.</summary>
/// <param name="Site">The site's id.</param>
/// <param name="At">When it came about, UTC.</param>
/// <param name="Series">The series' id, unique at its site.</param>
/// <param name="Quantity">What it measures.</param>
/// <param name="Value">The value, in the quantity's unit.</param>
/// <param name="Since">When it first said so, UTC.</param>
public sealed record SensorStuck(string Site, DateTimeOffset At, string Series, Quantity Quantity, double Value, DateTimeOffset Since)
    : SystemOccasion(Site, At)
{
    /// <inheritdoc/>
    public override string Kind => "sensor-stuck";

    /// <inheritdoc/>
    public override string Episode => $"{Subject}/{Stamp(Since)}";

    /// <inheritdoc/>
    public override string Subject => $"{Site}/stuck/{Series}";

    /// <inheritdoc/>
    public override Wait Wait => Wait.None;

    /// <inheritdoc/>
    public override void WriteFacts(IFactWriter facts)
    {
        facts.Series("series", Series);
        facts.Quantity("quantity", Quantity);
        facts.Value("value", Quantity, Value);
        facts.Moment("since", Since);
    }
}

/// <summary>
/// What a series says cannot be right, though each value alone could be: a wrong unit, scale or limit. Told once a month.
/// </summary>
/// <param name="Site">The site's id.</param>
/// <param name="At">When it came about, UTC.</param>
/// <param name="Doubt">What was seen.</param>
public sealed record ReadingsDoubtful(string Site, DateTimeOffset At, SeriesDoubt Doubt) : SystemOccasion(Site, At)
{
    /// <inheritdoc/>
    public override string Kind => "readings-doubtful";

    /// <inheritdoc/>
    public override string Episode =>
        string.Create(System.Globalization.CultureInfo.InvariantCulture, $"{Subject}/{Doubt.Since.UtcDateTime:yyyyMM}");

    /// <inheritdoc/>
    public override string Subject =>
        string.Create(System.Globalization.CultureInfo.InvariantCulture, $"{Site}/doubt/{Doubt.Quantity.Word()}-{Doubt.Rank}/{Doubt.Word}");

    /// <inheritdoc/>
    public override Urgency Urgency => Urgency.High;

    /// <inheritdoc/>
    public override Wait Wait => Wait.None;

    /// <inheritdoc/>
    public override void WriteFacts(IFactWriter facts)
    {
        facts.Quantity("quantity", Doubt.Quantity);
        facts.Text("fault", Doubt.Word);
        facts.Moment("since", Doubt.Since);
        facts.Unsure("lowest", Doubt.Lowest);
        facts.Unsure("highest", Doubt.Highest);
        facts.Rain("rain", Doubt.Fault == SeriesFault.TooMuchRain ? Doubt.Highest : null);
    }
}

/// <summary>The computer's clock disagrees with the sensors or the network.</summary>
/// <param name="At">When it came about, UTC.</param>
/// <param name="OffBy">How far it is ahead (positive) or behind (negative).</param>
public sealed record ClockWrong(DateTimeOffset At, TimeSpan OffBy) : SystemOccasion(null, At)
{
    /// <inheritdoc/>
    public override string Kind => "clock-wrong";

    /// <inheritdoc/>
    public override string Episode => $"garden/clock/{Stamp(At)}";

    /// <inheritdoc/>
    public override Urgency Urgency => Urgency.High;

    /// <inheritdoc/>
    public override Wait Wait => Wait.None;

    /// <inheritdoc/>
    public override void WriteFacts(IFactWriter facts)
    {
        facts.Offset("off_by_minutes", OffBy);
        facts.Flag("ahead", OffBy > TimeSpan.Zero);
    }
}

/// <summary>Little room is left on the disk.</summary>
/// <param name="At">When it came about, UTC.</param>
/// <param name="FreeMb">Room left, MB, 0 or more.</param>
public sealed record DiskLow(DateTimeOffset At, long FreeMb) : SystemOccasion(null, At)
{
    /// <inheritdoc/>
    public override string Kind => "disk-low";

    /// <inheritdoc/>
    public override string Episode => $"garden/disk/{Stamp(At)}";

    /// <inheritdoc/>
    public override Urgency Urgency => Urgency.High;

    /// <inheritdoc/>
    public override Wait Wait => Wait.None;

    /// <inheritdoc/>
    public override void WriteFacts(IFactWriter facts) => facts.Whole("free_mb", FreeMb);
}

/// <summary>The store was damaged, and a new one was made of what could be read.</summary>
/// <param name="At">When it was found, UTC.</param>
/// <param name="Saved">Readings saved, 0 or more.</param>
/// <param name="Lost">Readings known to be lost, 0 or more; with 0 it may be that how many is not known.</param>
public sealed record StoreDamaged(DateTimeOffset At, long Saved, long Lost) : SystemOccasion(null, At)
{
    /// <inheritdoc/>
    public override string Kind => "store-damaged";

    /// <inheritdoc/>
    public override string Episode => $"garden/store/{Stamp(At)}";

    /// <inheritdoc/>
    public override Urgency Urgency => Urgency.High;

    /// <inheritdoc/>
    public override Wait Wait => Wait.None;

    /// <inheritdoc/>
    public override void WriteFacts(IFactWriter facts)
    {
        facts.Whole("saved", Saved);
        facts.Whole("lost", Lost);
    }
}

/// <summary>No way to the phone has worked for a day or more; told as soon as one works, and shown elsewhere until then.</summary>
/// <param name="At">When it came about, UTC.</param>
/// <param name="Since">When a message last went through, UTC.</param>
public sealed record AlertPathDead(DateTimeOffset At, DateTimeOffset Since) : SystemOccasion(null, At)
{
    /// <inheritdoc/>
    public override string Kind => "alert-path-dead";

    /// <inheritdoc/>
    public override string Episode => $"garden/alert-path/{Stamp(Since)}";

    /// <inheritdoc/>
    public override Urgency Urgency => Urgency.High;

    /// <inheritdoc/>
    public override Wait Wait => Wait.None;

    /// <inheritdoc/>
    public override void WriteFacts(IFactWriter facts) => facts.Moment("since", Since);
}
