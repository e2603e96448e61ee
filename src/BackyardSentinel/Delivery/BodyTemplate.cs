using System.Globalization;
using System.Text.Encodings.Web;
using System.Text.Json;
using BackyardSentinel.Alerting;
using BackyardSentinel.Contract;
using BackyardSentinel.Infection;
using Fluid;
using Fluid.Values;

namespace BackyardSentinel.Delivery;

/// <summary>
/// A webhook's body from a Liquid template. What is put in is escaped as the kind of content needs it: nothing for text,
/// as inside a JSON string for JSON, percent-encoded for forms.
/// </summary>
public sealed class BodyTemplate
{
    /// <summary>Steps a template may take; an endless one is a mistake.</summary>
    private const int MaxSteps = 10_000;

    private static readonly FluidParser Parser = new();
    private static readonly TemplateOptions Options = MakeOptions(isTrial: false);
    private static readonly TemplateOptions Trial = MakeOptions(isTrial: true);

    /// <summary>An invented alert with two plantings, a level and letters that need escaping.</summary>
    private static readonly AlertMessage Example = new(
        "example-1", "tannery-lane/white-peach/example", "south-wall", [
            "white-peach",
            "gate-nectarine",
        ], "level-risen", Level.Likely, Urgency.Normal,
        DateTimeOffset.UnixEpoch, DateTimeOffset.UnixEpoch.AddDays(1), "South wall: \"likely\"", "Line one\nline two: 3 < 4 & 5 > 4",
        AlertMessage.NoFacts);

    /// <summary>The same with nothing in the places that may be empty.</summary>
    private static readonly AlertMessage Sparse = Example with { Plantings = [], Level = null };

    private const string Facts = "facts";

    private readonly IFluidTemplate _template;
    private readonly TextEncoder _encoder;
    private readonly bool _isJson;

    private BodyTemplate(IFluidTemplate template, WebhookContent content)
    {
        _template = template;
        _isJson = content == WebhookContent.Json;
        _encoder = content switch
        {
            WebhookContent.Json => JavaScriptEncoder.Default,
            WebhookContent.Form => UrlEncoder.Default,
            WebhookContent.Text => NullEncoder.Default,
            WebhookContent.Standard => throw new ArgumentException("The standard body has no template.", nameof(content)),
        };
    }

    /// <summary>The names that templates know beside the facts, which are <c>facts.NAME</c>.</summary>
    public static IReadOnlyList<string> Names { get; } =
        ["id", "episode", "site", "plantings", "kind", "level", "urgency", "at", "useful_until", "title", "text", "link"];

    /// <summary>Reads a template and tries it on two examples, one of them without plantings and level.</summary>
    /// <param name="source">The template.</param>
    /// <param name="content">What it makes; not <see cref="WebhookContent.Standard"/>.</param>
    /// <param name="template">The template, or <c>null</c>.</param>
    /// <param name="reason">What is wrong with it, as the end of a sentence.</param>
    public static bool TryParse(string source, WebhookContent content, out BodyTemplate? template, out string? reason)
    {
        template = null;
        if (LiquidRange.IsIn(source))
        {
            reason = LiquidRange.Fault;
            return false;
        }

        if (!Parser.TryParse(source, out var parsed, out var error))
        {
            reason = "is not a Liquid template: " + PlainText.OneLine(error, 200);
            return false;
        }

        var made = new BodyTemplate(parsed, content);
        List<string> unknown = [];
        if (!made.TryRender(Example, Trial, unknown, out var full, out reason)) return false;
        if (unknown.FirstOrDefault(name => name.Split('.')[0] is var first && first != Facts && !Names.Contains(first)) is { } stranger)
        {
            reason = $"has the name {PlainText.OneLine(stranger, 60)}, which is none; there are {string.Join(", ", Names)} and facts";
            return false;
        }

        if (string.IsNullOrWhiteSpace(full))
        {
            reason = "makes an empty message";
            return false;
        }

        if (!made.TryRender(Sparse, Trial, [], out _, out reason))
        {
            // A digest has no plantings, no level and other facts: a template that fails on it would lose it.
            reason += " (tried without plantings, level and facts: give those a default, such as {{ facts.rain_mm | default: 0 }})";
            return false;
        }

        template = made;
        return true;
    }

    /// <summary>Fills the template in.</summary>
    /// <param name="message">What to put in.</param>
    /// <param name="body">The body, or <c>null</c>.</param>
    /// <param name="reason">Why there is none, as the end of a sentence.</param>
    public bool TryRender(AlertMessage message, out string? body, out string? reason)
    {
        ArgumentNullException.ThrowIfNull(message);
        return TryRender(message, Options, [], out body, out reason);
    }

    private bool TryRender(AlertMessage message, TemplateOptions options, List<string> unknown, out string? body, out string? reason)
    {
        (body, reason) = (null, null);
        try
        {
            var text = _template.Render(Context(message, options, unknown), _encoder);
            if (_isJson) JsonDocument.Parse(text).Dispose();
            body = text;
            return true;
        }
        catch (JsonException failure)
        {
            reason = "does not make JSON: " + PlainText.OneLine(failure.Message, 200);
        }
#pragma warning disable CA1031 // a template is the grower's: whatever it runs into is a sentence
        catch (Exception failure)
#pragma warning restore CA1031
        {
            reason = "cannot be filled in: " + PlainText.OneLine(failure.Message, 200);
        }

        return false;
    }

    private static TemplateContext Context(AlertMessage message, TemplateOptions options, List<string> unknown)
    {
        var context = new TemplateContext(options)
        {
            Undefined = name =>
            {
                unknown.Add(name);
                return new ValueTask<FluidValue>(NilValue.Instance);
            },
        };
        string?[] values =
        [
            message.Id,
            message.Episode,
            message.Site,
            message.Plantings.Count > 0 ? string.Join(", ", message.Plantings) : null,
            message.Kind,
            message.Level?.Word(),
            message.Urgency.Word(),
            MomentConverter.Text(message.At),
            MomentConverter.Text(message.UsefulUntil),
            message.Title,
            message.Text,
            message.Link,
        ];
        for (var i = 0; i < values.Length; i++) context.SetValue(Names[i], Value(values[i]));
        var facts = message.Facts.ToDictionary(fact => fact.Key, fact => Value(fact.Value), StringComparer.Ordinal);
        context.SetValue(Facts, new DictionaryValue(new FluidValueDictionaryFluidIndexable(facts)));
        return context;
    }

    private static FluidValue Value(string? text) => text is null ? NilValue.Instance : new StringValue(text);

    private static TemplateOptions MakeOptions(bool isTrial) => new()
    {
        // A filter that is none is told where somebody can mend it; an alert goes out without.
        StrictFilters = isTrial,
        MaxSteps = MaxSteps,
        MaxRecursion = 20,
        CultureInfo = CultureInfo.InvariantCulture,
        TimeZone = TimeZoneInfo.Utc,
        // The template sees the alert's times; what time it is now is no part of a body that must not change between attempts.
        Now = () => DateTimeOffset.UnixEpoch,
    };
}
