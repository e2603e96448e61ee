using BackyardSentinel.Weather;

namespace BackyardSentinel.Planning;

/// <summary>The time a plan covers, and local days in it.</summary>
internal sealed class PlanSpan(DateTimeOffset asOf, TimeZoneInfo zone)
{
    /// <summary>How far a plan looks: 10 days.</summary>
    public static TimeSpan Horizon => TimeSpan.FromDays(10);

    public DateTimeOffset AsOf { get; } = asOf.ToUniversalTime();

    public DateTimeOffset Until { get; } = asOf.ToUniversalTime() + Horizon;

    public DateOnly Today { get; } = LocalDay.Of(asOf, zone);

    /// <summary>The first moment of a local day, UTC.</summary>
    public DateTimeOffset StartOf(DateOnly day) => LocalDay.StartOf(day, zone);
}
