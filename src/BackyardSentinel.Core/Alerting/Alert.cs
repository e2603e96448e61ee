using System.Globalization;
using BackyardSentinel.Garden;
using BackyardSentinel.Infection;

namespace BackyardSentinel.Alerting;

/// <summary>One message for the phone, not yet in words.</summary>
/// <param name="Id">Stable: the same inputs give the same id. Lower-case letters, digits and hyphens only.</param>
/// <param name="Kind">The occasion's kind, or <c>summary</c> where several of different kinds are told as one.</param>
/// <param name="Urgency">The loudest of its occasions.</param>
/// <param name="Occasions">What it tells, one or more, the most urgent first.</param>
/// <param name="At">When it was released, UTC.</param>
/// <param name="UsefulUntil">After this moment delivering it is of no use any more, UTC.</param>
public sealed record Alert(
    string Id, string Kind, Urgency Urgency, IReadOnlyList<Occasion> Occasions, DateTimeOffset At, DateTimeOffset UsefulUntil)
{
    /// <summary>The kind of a message that lists several occasions of different kinds or sites.</summary>
    public const string SummaryKind = "summary";

    /// <summary>What has ended so long ago is not told any more (assumed).</summary>
    private static readonly TimeSpan LongAgo = TimeSpan.FromHours(12);

    /// <summary>An id names so many plantings at most; of more it tells the number.</summary>
    private const int MostNamedInId = 3;

    /// <summary>The episode; where several are told as one that are not the same story, its own id.</summary>
    public string Episode =>
        Occasions.Count == 1 ? Occasions[0].Episode
        : Kind != SummaryKind && Same(occasion => (occasion as PlantingOccasion)?.Story) is { } story
            ? $"{Site}/{string.Join('+', Plantings)}/{story}"
        : Id;

    /// <summary>The site where all its occasions are; <c>null</c>: several, or the whole installation.</summary>
    public string? Site => Same(occasion => occasion.Site);

    /// <summary>The plantings that it is about, the most urgent first; empty: about none.</summary>
    public IReadOnlyList<string> Plantings => PlantingsOf(Occasions);

    /// <summary>The highest level it tells, if any.</summary>
    public Level? Level => Occasions.Max(occasion => occasion.Level);

    /// <summary>The ids that its occasions would have as messages of their own: what has been told, however it was put together.</summary>
    public IEnumerable<string> Tells => Occasions.Select(IdOf);

    /// <summary>The message of one occasion.</summary>
    /// <param name="occasion">What it tells.</param>
    /// <param name="at">When it is released, UTC.</param>
    public static Alert Of(Occasion occasion, DateTimeOffset at) =>
        new(IdOf(occasion), occasion.Kind, occasion.Urgency, [occasion], at, occasion.UsefulUntil);

    /// <summary>The message of one piece of news that came to several plantings of a site at once.</summary>
    /// <param name="occasions">One or more of one kind and site, the most urgent first.</param>
    /// <param name="at">When it is released, UTC.</param>
    public static Alert Together(IReadOnlyList<Occasion> occasions, DateTimeOffset at)
    {
        if (occasions.Count == 1)
            return Of(occasions[0], at);
        var first = occasions[0];
        var plantings = PlantingsOf(occasions);
        var names =
            plantings.Count <= MostNamedInId
                ? string.Join('-', plantings)
                : string.Create(CultureInfo.InvariantCulture, $"{plantings.Count}-plantings");
        var story = first is PlantingOccasion planting ? planting.Story : first.Episode;
        var id =
            $"{Readable($"{first.Site}/{names}/{story}/{first.Kind}/{Step(first)}")}-{Check(string.Join('|', occasions.Select(IdOf))):x8}";
        return new Alert(
            id,
            first.Kind,
            occasions.Max(occasion => occasion.Urgency),
            occasions,
            at,
            occasions.Max(occasion => occasion.UsefulUntil));
    }

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

    /// <summary>
    /// Occasions that go out as one piece of news: of plantings of one site and one kind. Groups and their members keep
    /// the order given.
    /// </summary>
    /// <param name="occasions">The occasions.</param>
    public static IReadOnlyList<IReadOnlyList<Occasion>> News(IEnumerable<Occasion> occasions) =>
        [
            .. occasions
                .GroupBy(occasion => occasion is PlantingOccasion ? (object)(occasion.Site, occasion.Kind) : occasion)
                .Select(group => (IReadOnlyList<Occasion>)[.. group]),
        ];

    /// <summary>What of it has not been told yet, in whatever company; <c>null</c> when all has.</summary>
    /// <param name="told">Ids of messages that went out, and of what they told.</param>
    public Alert? Untold(IReadOnlySet<string> told)
    {
        if (told.Contains(Id))
            return null;
        Occasion[] rest = [.. Occasions.Where(occasion => !told.Contains(IdOf(occasion)))];
        return rest.Length == Occasions.Count ? this
            : rest.Length == 0 ? null
            : News(rest).Count == 1 ? Together(rest, At) : Of(rest, At);
    }

    /// <summary>
    /// What it tells became known late, as from what waited at a broker, and has long ended: no news. A window of it stands
    /// in the store, and its looks and cover are told by themselves.
    /// </summary>
    /// <param name="now">Now, UTC.</param>
    public bool IsLongOver(DateTimeOffset now) => Occasions.All(occasion => now - occasion.EndedAt > LongAgo);

    private static IReadOnlyList<string> PlantingsOf(IEnumerable<Occasion> occasions) =>
        [.. occasions.Select(occasion => occasion.Planting).OfType<string>().Distinct(StringComparer.Ordinal)];

    private static string IdOf(Occasion occasion)
    {
        var key = $"{occasion.Episode}/{occasion.Kind}/{Step(occasion)}";
        return $"{Readable(key)}-{Check(key):x8}";
    }

    private static string Step(Occasion occasion) =>
        occasion.Level is { } level ? level.Word() : occasion.Rung.ToString(CultureInfo.InvariantCulture);

    private static string Readable(string key) =>
        string.Concat(key.ToLowerInvariant().Select(c => c is >= 'a' and <= 'z' or >= '0' and <= '9' ? c : '-'));

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
