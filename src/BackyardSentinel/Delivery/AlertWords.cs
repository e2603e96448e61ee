using System.Globalization;
using BackyardSentinel.Alerting;
using BackyardSentinel.Units;
using Fluid;
using Fluid.Values;

namespace BackyardSentinel.Delivery;

/// <summary>
/// Puts alerts into words from one file for each language. Titles and bodies keep their limits: long names are shortened, never the facts.
/// </summary>
public sealed class AlertWords
{
    /// <summary>Most characters of a title.</summary>
    public const int MaxTitle = 50;

    /// <summary>Most characters of a body: one screen of a phone.</summary>
    public const int MaxBody = 500;

    private const int LongestName = 40, LeastOfSeveral = 9, ShortestName = 4, MostLines = 8;

    private static readonly TemplateOptions Options = new()
    {
        CultureInfo = CultureInfo.InvariantCulture,
        TimeZone = TimeZoneInfo.Utc,
        MaxSteps = 10_000,
        StrictVariables = true,
        StrictFilters = true,
    };

    private readonly WordsFile _file;
    private readonly AlertWords? _builtIn;

    private readonly UnitSystem _units;

    private AlertWords(WordsFile file, AlertWords? builtIn, UnitSystem units) => (_file, _builtIn, _units) = (file, builtIn, units);

    /// <summary>The languages of the built-in words, as HTML names them; the first is the one of a garden that names none.</summary>
    public static IReadOnlyList<string> Languages { get; } = [WordsFile.English, "de"];

    /// <summary>The built-in words.</summary>
    /// <param name="language">One of <see cref="Languages"/>.</param>
    /// <param name="units">The units in which figures are told; metric unless given.</param>
    public static AlertWords BuiltIn(string language, UnitSystem? units = null)
    {
        var name = $"words.{language}.liquid";
        using var stream = typeof(AlertWords).Assembly.GetManifestResourceStream(name)
            ?? throw new InvalidOperationException($"The built-in words {name} are missing from the program.");
        using var reader = new StreamReader(stream);
        return new AlertWords(WordsFile.Read(reader.ReadToEnd(), name), builtIn: null, units ?? UnitSystem.Metric);
    }

    /// <inheritdoc cref="BuiltIn"/>
    public static AlertWords English(UnitSystem? units = null) => BuiltIn(Languages[0], units);

    /// <summary>In what a file of words of one's own differs from the built-in one; <c>null</c>: these are the built-in words.</summary>
    public WordsGaps? Gaps { get; private init; }

    /// <summary>The words of the page, of the same file.</summary>
    /// <param name="zone">By whose clock it is read.</param>
    public PageWords Page(TimeZoneInfo zone) => new(_file, _units, zone);

    /// <summary>Reads a file of words and tries every part of it on an example.</summary>
    /// <param name="text">The file's text.</param>
    /// <param name="name">Its name, for messages.</param>
    /// <param name="units">The units in which figures are told; metric unless given.</param>
    /// <param name="language">The language of the built-in words that stand in where the file has none; English unless given.</param>
    /// <exception cref="WordsProblemException">Something in it is wrong; the message says what, why and what to do.</exception>
    public static AlertWords Read(string text, string name, UnitSystem? units = null, string? language = null) =>
        Completed(WordsFile.Read(text, name), BuiltIn(language ?? Languages[0], units), units ?? UnitSystem.Metric);

    /// <summary>Puts an alert into words; into the built-in ones where the file's own fail in a part that no example reached.</summary>
    /// <param name="alert">The alert.</param>
    /// <param name="zoneOf">The zone of a site; of <c>null</c>, the garden's.</param>
    /// <param name="names">What people call its things; <c>null</c>: by their ids.</param>
    public AlertText Say(Alert alert, Func<string?, TimeZoneInfo> zoneOf, AlertNames? names = null)
    {
        ArgumentNullException.ThrowIfNull(zoneOf);
        AlertPlace At(string? site) => new(zoneOf(site), names ?? AlertNames.None);
        try
        {
            return Compose(alert, At);
        }
        catch (WordsProblemException) when (_builtIn is not null)
        {
            return _builtIn.Compose(alert, At);
        }
    }

    /// <summary>The words of a message that only tries the way to the phone.</summary>
    /// <param name="garden">The garden's name.</param>
    /// <param name="at">When it is sent.</param>
    /// <param name="zone">The garden's zone.</param>
    public AlertText Test(string garden, DateTimeOffset at, TimeZoneInfo zone)
    {
        var facts = new Dictionary<string, FluidValue>
        {
            ["garden"] = new StringValue(garden),
            ["at"] = new StringValue(new FactsInWords(_file, new AlertPlace(zone, AlertNames.None), _units).Moment(at)),
        };
        return new AlertText(Cut(Render("test title", facts), MaxTitle), Cut(Render("test body", facts), MaxBody));
    }

    private static AlertWords Completed(WordsFile file, AlertWords builtIn, UnitSystem units)
    {
        AlertWords words = new(file, builtIn, units) { Gaps = file.CompleteFrom(builtIn._file) };
        words.Page(TimeZoneInfo.Utc).Date(new DateOnly(2027, 3, 4));
        foreach (var alert in ExampleAlerts.OfEveryKind())
        {
            if (words.Compose(alert, _ => new AlertPlace(TimeZoneInfo.Utc, AlertNames.None)) is not { Title.Length: > 0, Body.Length: > 0 })
                throw new WordsProblemException(
                    $"{words._file.Name}: the parts '--- {alert.Kind} title' and '--- {alert.Kind} body' must not "
                        + "be empty; write words into them.");
        }

        if (words.Test("x", DateTimeOffset.UnixEpoch, TimeZoneInfo.Utc) is not { Title.Length: > 0, Body.Length: > 0 })
            throw new WordsProblemException(
                $"{words._file.Name}: the parts '--- test title' and '--- test body' must not be empty; write words into them.");
        return words;
    }

    private AlertText Compose(Alert alert, Func<string?, AlertPlace> at) => alert.Kind == Alert.SummaryKind
        ? Summary(alert, at)
        : new AlertText(TitleOf(alert.Occasions, at(alert.Site)), BodyOf(alert.Occasions, at(alert.Site)));

    /// <summary>The title of one piece of news. Where it differs from planting to planting, the most urgent one's.</summary>
    private string TitleOf(IReadOnlyList<Occasion> news, AlertPlace at)
    {
        var first = news[0];
        var title = Read(first);
        var plantings = PlantingsOf(news.Where(one => one == first || Read(one) == title));
        return Fit(
            MaxTitle,
            plantings.Count > 1,
            (length, counted) => Render(first.Kind + " title", Facts(first, plantings, at, length, counted)));

        string Read(Occasion one) => Render(one.Kind + " title", Facts(one, [""], at, LongestName, counted: false));
    }

    /// <summary>
    /// The body of one piece of news: a line that reads the same for several plantings names them together, and one that differs says of
    /// which it is.
    /// </summary>
    private string BodyOf(IReadOnlyList<Occasion> news, AlertPlace at)
    {
        var heading = news[0].Kind + " body";
        List<(Occasion Occasion, string[] Lines)> each =
            [.. news.Select(one => (one, LinesOf(one, news.Count == 1 ? PlantingsOf(news) : [""], LongestName, counted: false)))];
        return Fit(
            MaxBody,
            news.Count > 1,
            (length, counted) => string.Join(
                '\n',
                Enumerable
                    .Range(0, each.Max(one => one.Lines.Length))
                    .SelectMany(nth => LinesAt(nth, length, counted))));

        IEnumerable<string> LinesAt(int nth, int length, bool counted)
        {
            var groups = each.Where(one => nth < one.Lines.Length).GroupBy(one => one.Lines[nth], one => one.Occasion).ToList();
            return groups.Select(alike => Line(alike, nth, groups.Count > 1, length, counted));
        }

        string Line(IGrouping<string, Occasion> alike, int nth, bool differs, int length, bool counted)
        {
            var (first, plantings) = (alike.First(), PlantingsOf(alike));
            var line = LinesOf(first, plantings, length, counted)[nth];
            return differs && plantings.Count > 0 && line == alike.Key
                ? $"{Facts(first, plantings, at, length, counted)["planting"].ToStringValue()}: {line}"
                : line;
        }

        string[] LinesOf(Occasion one, IReadOnlyList<string> plantings, int length, bool counted) =>
            Render(heading, Facts(one, plantings, at, length, counted)).Split('\n');
    }

    private static IReadOnlyList<string> PlantingsOf(IEnumerable<Occasion> occasions) =>
        [.. occasions.Select(occasion => occasion.Planting).OfType<string>().Distinct(StringComparer.Ordinal)];

    private AlertText Summary(Alert alert, Func<string?, AlertPlace> at)
    {
        var lines = Alert.News(alert.Occasions).Select(news =>
            $"{new FactsInWords(_file, at(news[0].Site), _units).Moment(news[0].At)}: {TitleOf(news, at(news[0].Site))}").ToList();
        var facts = new Dictionary<string, FluidValue>
        {
            ["count"] = NumberValue.Create(lines.Count),
            ["sprays"] = BooleanValue.Create(
                alert.Occasions.Any(one =>
                    one.Kind.StartsWith("spray", StringComparison.Ordinal)
                    || one.Kind.StartsWith("leaf-fall", StringComparison.Ordinal)
                    || one.Kind.StartsWith("cover", StringComparison.Ordinal))),
            ["level"] = alert.Level is { } level
                ? new StringValue(_file.Word("level." + Infection.LevelWords.Word(level)))
                : BooleanValue.False,
        };
        var title = Fit(
            MaxTitle,
            several: false,
            (length, _) =>
                Render(
                    "summary title",
                    With(facts, "place", new StringValue(FactsInWords.Shorten(alert.Site, length) ?? _file.Word("garden")))));
        // As many lines as fit, the most urgent first; the rest by number.
        for (var shown = Math.Min(lines.Count, MostLines); ; shown--)
        {
            var body = Render(
                "summary body",
                With(
                    With(facts, "more", NumberValue.Create(lines.Count - shown)),
                    "lines",
                    new StringValue(string.Join('\n', lines.Take(shown)))));
            if (body.Length <= MaxBody || shown == 0)
                return new AlertText(title, Cut(body, MaxBody));
        }
    }

    private static Dictionary<string, FluidValue> With(Dictionary<string, FluidValue> facts, string name, FluidValue value) =>
        new(facts) { [name] = value };

    private Dictionary<string, FluidValue> Facts(
        Occasion occasion,
        IReadOnlyList<string> plantings,
        AlertPlace at,
        int nameLength,
        bool counted
    ) => new FactsInWords(_file, at, _units, nameLength).Of(occasion, plantings, counted);

    /// <summary>
    /// The text with names as long as the limit allows; several are named while each stays readable, and counted from there.
    /// </summary>
    private static string Fit(int limit, bool several, Func<int, bool, string> render)
    {
        for (var length = LongestName; several && length >= LeastOfSeveral; length--)
        {
            if (render(length, false) is var named && named.Length <= limit)
                return named;
        }

        for (var length = LongestName; ; length--)
        {
            var text = render(length, several);
            if (text.Length <= limit || length == ShortestName)
                return Cut(text, limit);
        }
    }

    private static string Cut(string text, int limit) => text.Length <= limit ? text : text[..(limit - 1)].TrimEnd() + "…";

    private string Render(string heading, Dictionary<string, FluidValue> facts)
    {
        var (template, line) = _file.Template(heading);
        var context = new TemplateContext(Options);
        foreach (var (name, value) in facts)
            context.SetValue(name, value);
        try
        {
            var rows = template.Render(context).Split('\n', StringSplitOptions.RemoveEmptyEntries | StringSplitOptions.TrimEntries);
            return string.Join('\n', rows);
        }
#pragma warning disable CA1031 // a template is the grower's: whatever it runs into, the alert goes out in the built-in words
        catch (Exception error)
#pragma warning restore CA1031
        {
            throw new WordsProblemException(
                $"{_file.Name}:{line}: the part '--- {heading}' cannot be put into words ({error.Message}); "
                    + "use the names of the built-in part.");
        }
    }
}
