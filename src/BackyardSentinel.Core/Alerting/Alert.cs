using System.Globalization;
using BackyardSentinel.Infection;

namespace BackyardSentinel.Alerting;

/// <summary>One message for the phone, not yet in words.</summary>
/// <param name="Id">Stable: the same inputs give the same id. Lower-case letters, digits and hyphens only.</param>
/// <param name="Kind">The occasion's kind, or <c>summary</c> where several are told as one.</param>
/// <param name="Urgency">The loudest of its occasions.</param>
/// <param name="Occasions">What it tells, one or more, the most urgent first.</param>
/// <param name="At">When it was released, UTC.</param>
/// <param name="UsefulUntil">After this moment delivering it is of no use any more, UTC.</param>
public sealed record Alert(
    string Id, string Kind, Urgency Urgency, IReadOnlyList<Occasion> Occasions, DateTimeOffset At, DateTimeOffset UsefulUntil)
{
    /// <summary>The kind of a message that lists several occasions.</summary>
    public const string SummaryKind = "summary";

    /// <summary>The episode; of a summary its own id.</summary>
    public string Episode => Occasions.Count == 1 ? Occasions[0].Episode : Id;

    /// <summary>The site where all its occasions are; <c>null</c>: several, or the whole installation.</summary>
    public string? Site => Same(occasion => occasion.Site);

    /// <summary>The planting that all its occasions are about; <c>null</c>: several or none.</summary>
    public string? Planting => Site is null ? null : Same(occasion => occasion.Planting);

    /// <summary>The highest level it tells, if any.</summary>
    public Level? Level => Occasions.Max(occasion => occasion.Level);

    /// <summary>The message of one occasion.</summary>
    /// <param name="occasion">What it tells.</param>
    /// <param name="at">When it is released, UTC.</param>
    public static Alert Of(Occasion occasion, DateTimeOffset at) =>
        new(IdOf(occasion), occasion.Kind, occasion.Urgency, [occasion], at, occasion.UsefulUntil);

    /// <summary>The message that lists several; there is one at a moment at most.</summary>
    /// <param name="occasions">What it tells, one or more, the most urgent first.</param>
    /// <param name="at">When it is released, UTC.</param>
    public static Alert Of(IReadOnlyList<Occasion> occasions, DateTimeOffset at) => new(
        $"garden-summary-{at.UtcDateTime.ToString("yyyyMMdd't'HHmmss'z'", CultureInfo.InvariantCulture)}",
        SummaryKind,
        occasions.Max(occasion => occasion.Urgency),
        occasions,
        at,
        occasions.Max(occasion => occasion.UsefulUntil));

    private static string IdOf(Occasion occasion)
    {
        var step = occasion.Level is { } level ? level.Word() : occasion.Rung.ToString(CultureInfo.InvariantCulture);
        var key = $"{occasion.Episode}/{occasion.Kind}/{step}";
        var readable = string.Concat(key.ToLowerInvariant().Select(c => c is >= 'a' and <= 'z' or >= '0' and <= '9' ? c : '-'));
        return $"{readable}-{Check(key):x8}";
    }

    /// <summary>Keeps keys apart that read alike once every separator is a hyphen: the 32-bit FNV-1a sum of the key.</summary>
    private static uint Check(string key)
    {
        var sum = 2166136261u;
        foreach (var c in key)
            sum = unchecked((sum ^ c) * 16777619u);
        return sum;
    }

    private string? Same(Func<Occasion, string?> part)
    {
        var first = part(Occasions[0]);
        return Occasions.All(occasion => part(occasion) == first) ? first : null;
    }
}
