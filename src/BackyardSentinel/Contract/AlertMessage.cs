using System.Collections.ObjectModel;
using System.Text.Json.Serialization;
using BackyardSentinel.Alerting;
using BackyardSentinel.Infection;

namespace BackyardSentinel.Contract;

/// <summary>sentinel/alert/ID: one alert, not retained.</summary>
/// <param name="Id">The same at every attempt and after a restart.</param>
/// <param name="Episode">What it belongs to; an answer names it.</param>
/// <param name="Site">The site; empty: the whole garden.</param>
/// <param name="Plantings">The plantings it is about, the most urgent first; empty: about none.</param>
/// <param name="Kind">What it tells of.</param>
/// <param name="Level">The level it tells.</param>
/// <param name="Urgency">How urgent it is.</param>
/// <param name="At">When it was released, UTC.</param>
/// <param name="UsefulUntil">When it is of no more use, UTC.</param>
/// <param name="Title">One line.</param>
/// <param name="Text">The whole text.</param>
/// <param name="Facts">Figures and words by name, all of them text; they differ from kind to kind. Units stand in the names.</param>
/// <param name="Link">Where it is read and answered on the page; left out where no phone can reach one.</param>
[SchemaFile("alert")]
public sealed record AlertMessage(
    [Pattern(AlertMessage.IdForm)] string Id,
    string Episode,
    [Bounds(0)] string Site,
    [Distinct] IReadOnlyList<string> Plantings,
    [SaidBy(typeof(Occasion), nameof(Occasion.Kind), Alert.SummaryKind, AlertMessage.DigestKind, AlertMessage.TestKind)] string Kind,
    Level? Level,
    Urgency Urgency,
    DateTimeOffset At,
    DateTimeOffset UsefulUntil,
    string Title,
    string Text,
    [Pattern("^[a-z][a-z0-9_]*$")] IReadOnlyDictionary<string, string> Facts,
    [property: JsonIgnore(Condition = JsonIgnoreCondition.WhenWritingNull)] string? Link = null)
{
    /// <summary>The kind of a message that tells of those that did not get through.</summary>
    public const string DigestKind = "alerts-not-sent";

    /// <summary>The kind of a message that tries the way.</summary>
    public const string TestKind = "test";

    /// <summary>The fact that names every episode of a message that tells several, a line each.</summary>
    public const string EpisodesFact = "episodes";

    private const string IdForm = @"^[!-\-/-~]+$";

    /// <summary>No facts.</summary>
    public static IReadOnlyDictionary<string, string> NoFacts => ReadOnlyDictionary<string, string>.Empty;

    /// <summary>
    /// The same at every attempt and after a restart; printable ASCII without full stop, at which signatures are split, or space.
    /// </summary>
    [JsonPropertyOrder(-1)]
    public string Id { get; init => field = CheckedId(value); } = CheckedId(Id);

    /// <summary>The episodes that an answer to it is about.</summary>
    [JsonIgnore]
    public IReadOnlyList<string> Episodes => Facts.TryGetValue(EpisodesFact, out var several) ? several.Split('\n') : [Episode];

    private static string CheckedId(string id) => id.Length > 0 && id.All(letter => letter is > ' ' and < '\x7f' and not '.')
        ? id
        : throw new ArgumentException($"The id '{id}' must be of printable ASCII letters without full stop or space.", nameof(id));
}
