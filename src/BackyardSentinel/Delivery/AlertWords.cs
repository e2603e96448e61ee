using System.Globalization;
using BackyardSentinel.Alerting;
using Fluid;
using Fluid.Values;

namespace BackyardSentinel.Delivery;

/// <summary>Puts alerts into words from one translatable file. Titles and bodies keep their limits: long names are shortened, never the facts.</summary>
public sealed class AlertWords
{
    /// <summary>Most characters of a title.</summary>
    public const int MaxTitle = 50;

    /// <summary>Most characters of a body: one screen of a phone.</summary>
    public const int MaxBody = 500;

    private const int LongestName = 40, ShortestName = 4, MostLines = 8;

    private static readonly TemplateOptions Options = new()
    {
        CultureInfo = CultureInfo.InvariantCulture,
        TimeZone = TimeZoneInfo.Utc,
        MaxSteps = 10_000,
        StrictVariables = true,
        StrictFilters = true,
    };

    private readonly WordsFile file;
    private readonly AlertWords? builtIn;

    private AlertWords(WordsFile file, AlertWords? builtIn) => (this.file, this.builtIn) = (file, builtIn);

    /// <summary>The built-in English words.</summary>
    public static AlertWords English()
    {
        using var stream = typeof(AlertWords).Assembly.GetManifestResourceStream("words.en.liquid")
            ?? throw new InvalidOperationException("The built-in words are missing from the program.");
        using var reader = new StreamReader(stream);
        return new AlertWords(WordsFile.Read(reader.ReadToEnd(), "words.en.liquid"), builtIn: null);
    }

    /// <summary>Reads a file of words and tries every part of it on an example.</summary>
    /// <param name="text">The file's text.</param>
    /// <param name="name">Its name, for messages.</param>
    /// <exception cref="WordsProblemException">A part is missing or wrong; the message says which, why and what to do.</exception>
    public static AlertWords Read(string text, string name) => Tried(new AlertWords(WordsFile.Read(text, name), English()));

    /// <summary>Puts an alert into words; into the built-in ones where the file's own fail in a part that no example reached.</summary>
    /// <param name="alert">The alert.</param>
    /// <param name="zoneOf">The zone of a site; of <c>null</c>, the garden's.</param>
    public AlertText Say(Alert alert, Func<string?, TimeZoneInfo> zoneOf)
    {
        try
        {
            return Compose(alert, zoneOf);
        }
        catch (WordsProblemException) when (builtIn is not null)
        {
            return builtIn.Compose(alert, zoneOf);
        }
    }

    /// <summary>The title alone, where no more is wanted; see <see cref="Say"/>.</summary>
    /// <param name="alert">The alert.</param>
    /// <param name="zoneOf">The zone of a site; of <c>null</c>, the garden's.</param>
    public string Title(Alert alert, Func<string?, TimeZoneInfo> zoneOf) => alert.Kind == Alert.SummaryKind
        ? Say(alert, zoneOf).Title
        : TitleOf(alert.Occasions[0], zoneOf(alert.Occasions[0].Site));

    private static AlertWords Tried(AlertWords words)
    {
        foreach (var alert in ExampleAlerts.OfEveryKind())
        {
            if (words.Compose(alert, _ => TimeZoneInfo.Utc) is not { Title.Length: > 0, Body.Length: > 0 })
                throw new WordsProblemException($"{words.file.Name}: the parts '--- {alert.Kind} title' and '--- {alert.Kind} body' must not be empty; write words into them.");
        }

        return words;
    }

    private AlertText Compose(Alert alert, Func<string?, TimeZoneInfo> zoneOf) => alert.Kind == Alert.SummaryKind
        ? Summary(alert, zoneOf)
        : Single(alert.Occasions[0], zoneOf(alert.Occasions[0].Site));

    private string TitleOf(Occasion occasion, TimeZoneInfo zone) =>
        Fit(MaxTitle, length => Render(occasion.Kind + " title", Facts(occasion, zone, length)));

    private AlertText Single(Occasion occasion, TimeZoneInfo zone) => new(
        TitleOf(occasion, zone),
        Fit(MaxBody, length => Render(occasion.Kind + " body", Facts(occasion, zone, length))));

    private AlertText Summary(Alert alert, Func<string?, TimeZoneInfo> zoneOf)
    {
        var lines = alert.Occasions.Select(occasion =>
            $"{new AlertFacts(file, zoneOf(occasion.Site)).Moment(occasion.At)}: {Single(occasion, zoneOf(occasion.Site)).Title}").ToList();
        var facts = new Dictionary<string, FluidValue>
        {
            ["count"] = NumberValue.Create(lines.Count),
            ["level"] = alert.Level is { } level ? new StringValue(file.Word("level." + Infection.LevelWords.Word(level))) : BooleanValue.False,
        };
        var title = Fit(MaxTitle, length => Render("summary title", With(facts, "place", new StringValue(AlertFacts.Shorten(alert.Site, length) ?? file.Word("garden")))));
        // As many lines as fit, the most urgent first; the rest by number.
        for (var shown = Math.Min(lines.Count, MostLines); ; shown--)
        {
            var body = Render("summary body", With(
                With(facts, "more", NumberValue.Create(lines.Count - shown)), "lines", new StringValue(string.Join('\n', lines.Take(shown)))));
            if (body.Length <= MaxBody || shown == 0)
                return new AlertText(title, Cut(body, MaxBody));
        }
    }

    private static Dictionary<string, FluidValue> With(Dictionary<string, FluidValue> facts, string name, FluidValue value) =>
        new(facts) { [name] = value };

    private Dictionary<string, FluidValue> Facts(Occasion occasion, TimeZoneInfo zone, int nameLength) =>
        new AlertFacts(file, zone).Of(occasion, nameLength);

    /// <summary>The text with names as long as the limit allows.</summary>
    private static string Fit(int limit, Func<int, string> render)
    {
        for (var length = LongestName; ; length--)
        {
            var text = render(length);
            if (text.Length <= limit || length == ShortestName)
                return Cut(text, limit);
        }
    }

    private static string Cut(string text, int limit) => text.Length <= limit ? text : text[..(limit - 1)].TrimEnd() + "…";

    private string Render(string heading, Dictionary<string, FluidValue> facts)
    {
        var (template, line) = file.Template(heading);
        var context = new TemplateContext(Options);
        foreach (var (name, value) in facts)
            context.SetValue(name, value);
        try
        {
            var rows = template.Render(context).Split('\n', StringSplitOptions.RemoveEmptyEntries | StringSplitOptions.TrimEntries);
            return string.Join('\n', rows);
        }
        catch (Exception error) when (error is FluidException or InvalidOperationException)
        {
            throw new WordsProblemException($"{file.Name}:{line}: the part '--- {heading}' cannot be put into words ({error.Message}); use the names of the built-in part.");
        }
    }
}
