using BackyardSentinel.Garden;
using BackyardSentinel.Weather;

namespace BackyardSentinel.Alerting;

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
        facts.Sensor("sensor", Doubt.Quantity, Doubt.Rank);
        facts.Text("fault", Doubt.Word);
        facts.Moment("since", Doubt.Since);
        facts.Unsure("lowest", Doubt.Lowest);
        facts.Unsure("highest", Doubt.Highest);
        facts.Rain("rain", Doubt.Fault == SeriesFault.TooMuchRain ? Doubt.Highest : null);
    }
}
