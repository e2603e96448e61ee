using System.Collections.ObjectModel;
using BackyardSentinel.Alerting;
using BackyardSentinel.Infection;

namespace BackyardSentinel.Delivery;

/// <summary>What goes out to a receiver: one alert, or a digest of alerts that did not get through.</summary>
/// <param name="Id">Stable over every attempt and restart, without a full stop, since signatures are split at it.</param>
/// <param name="Episode">What it belongs to; a newer message of the episode takes the place of one that waits.</param>
/// <param name="Site">The site's id; empty where the whole garden is meant.</param>
/// <param name="Plantings">Ids of the plantings it is about; empty: about none.</param>
/// <param name="Kind">What it tells of, in words joined by hyphens.</param>
/// <param name="Level">The level's word, or null.</param>
/// <param name="Urgency"><c>low</c>, <c>normal</c> or <c>high</c>.</param>
/// <param name="At">When it became known.</param>
/// <param name="UsefulUntil">When it is of no more use; later than <paramref name="At"/>.</param>
/// <param name="Title">One line.</param>
/// <param name="Text">The whole text.</param>
/// <param name="Facts">Further figures and words by name, for templates and machines.</param>
public sealed record AlertMessage(
    string Id, string Episode, string Site, IReadOnlyList<string> Plantings, string Kind, string? Level, string Urgency,
    DateTimeOffset At, DateTimeOffset UsefulUntil, string Title, string Text, IReadOnlyDictionary<string, string> Facts)
{
    /// <summary>No facts.</summary>
    public static IReadOnlyDictionary<string, string> NoFacts => ReadOnlyDictionary<string, string>.Empty;

    /// <summary>Stable over every attempt and restart; printable ASCII without full stop or space.</summary>
    public string Id { get; init => field = CheckedId(value); } = CheckedId(Id);

    /// <summary><c>low</c>, <c>normal</c> or <c>high</c>.</summary>
    public string Urgency { get; init => field = CheckedUrgency(value); } = CheckedUrgency(Urgency);

    /// <summary>The episodes that an answer to it is about.</summary>
    public IReadOnlyList<string> Episodes => Facts.TryGetValue(FactsInJson.Episodes, out var several) ? several.Split('\n') : [Episode];

    /// <summary>The alert as it goes out.</summary>
    /// <param name="alert">The alert.</param>
    /// <param name="text">Its words.</param>
    public static AlertMessage Of(Alert alert, AlertText text)
    {
        ArgumentNullException.ThrowIfNull(alert);
        ArgumentNullException.ThrowIfNull(text);
        return new AlertMessage(
            alert.Id,
            alert.Episode,
            alert.Site ?? "",
            alert.Plantings,
            alert.Kind,
            alert.Level?.Word(),
            alert.Urgency.ToString().ToLowerInvariant(),
            alert.At,
            alert.UsefulUntil,
            text.Title,
            text.Body,
            FactsInJson.Of(alert));
    }

    private static string CheckedId(string id) => id.Length > 0 && id.All(letter => letter is > ' ' and < '\x7f' and not '.')
        ? id
        : throw new ArgumentException($"The id '{id}' must be of printable ASCII letters without full stop or space.", nameof(id));

    private static string CheckedUrgency(string urgency) => urgency is "low" or "normal" or "high"
        ? urgency
        : throw new ArgumentException($"The urgency '{urgency}' is none of low, normal, high.", nameof(urgency));
}
