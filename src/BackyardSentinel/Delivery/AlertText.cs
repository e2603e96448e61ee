using BackyardSentinel.Alerting;
using BackyardSentinel.Contract;

namespace BackyardSentinel.Delivery;

/// <summary>One alert in words.</summary>
/// <param name="Title">What and where, 50 characters at most.</param>
/// <param name="Body">What and since when, why, what to do, how sure: a line each, 500 characters at most.</param>
public sealed record AlertText(string Title, string Body)
{
    /// <summary>The alert as it goes out in these words.</summary>
    /// <param name="alert">The alert.</param>
    public AlertMessage For(Alert alert) => new(
        alert.Id,
        alert.Episode,
        alert.Site ?? "",
        alert.Plantings,
        alert.Kind,
        alert.Level,
        alert.Urgency,
        alert.At,
        alert.UsefulUntil,
        Title,
        Body,
        FactsInJson.Of(alert));
}
