using System.Text.Encodings.Web;
using System.Text.Json;
using System.Text.Json.Nodes;
using System.Text.RegularExpressions;
using BackyardSentinel.Configuration.Keys;
using BackyardSentinel.Units;

namespace BackyardSentinel.Tests.Generated;

/// <summary>config/garden.schema.json, by which editors complete and check a garden file: JSON Schema 2020-12.</summary>
internal static class GardenSchema
{
    private const string Duration = "^(?=[0-9])([0-9]{1,6}h)?([0-9]{1,6}m)?([0-9]{1,6}s)?$";
    private const string Figure = "([0-9]+([.][0-9]+)?|([0-9]+ +)?[0-9]+/[0-9]+)";

    private static readonly JsonSerializerOptions Format =
        new() { WriteIndented = true, Encoder = JavaScriptEncoder.UnsafeRelaxedJsonEscaping };

    public static GeneratedFile File { get; } = new("config/garden.schema.json", _ => Make().ToJsonString(Format) + "\n");

    private static JsonObject Make() => new()
    {
        ["$schema"] = "https://json-schema.org/draft/2020-12/schema",
        ["$id"] = "https://backyard-sentinel.invalid/garden.schema.json",
        ["title"] = "Garden file of Backyard Sentinel",
        ["$ref"] = Reference("garden"),
        ["$defs"] = new JsonObject(GardenKeys.Sections.Select(section => KeyValuePair.Create(section.Name, (JsonNode?)Part(section)))),
    };

    private static JsonObject Part(GardenSection section)
    {
        var part = new JsonObject { ["type"] = "object", ["additionalProperties"] = false };
        if (section.Keys.Any(key => key.Required))
            part["required"] = Strings(section.Keys.Where(key => key.Required).Select(key => key.Name));
        part["properties"] = new JsonObject(section.Keys.Select(key => KeyValuePair.Create(key.Name, (JsonNode?)Key(key))));
        if (section.Rules.Count > 0)
            part["allOf"] = new JsonArray([.. section.Rules.Select(Rule)]);
        return part;
    }

    private static JsonObject Key(GardenKey key)
    {
        var schema = new JsonObject { ["description"] = key.Meaning };
        foreach (var (name, value) in Form(key.Form))
            schema[name] = value?.DeepClone();
        if (key is { Form: PartListForm, Required: true })
            schema["minItems"] = 1;
        if (key.Default.Length > 0)
            schema["default"] = key.Form is YesNoForm or NumberForm ? JsonNode.Parse(key.Default) : key.Default;
        return schema;
    }

    private static JsonObject Form(KeyForm form) => form switch
    {
        YesNoForm => new() { ["type"] = "boolean" },
        NumberForm number => Number(number),
        DurationForm => Text(Duration),
        WordForm word => new() { ["type"] = "string", ["enum"] = Strings(word.Words) },
        WordListForm list => new()
        {
            ["type"] = "array",
            ["items"] = new JsonObject { ["type"] = "string", ["enum"] = Strings(list.Words) },
        },
        WholeOrWordForm mixed => OneOf(
            [
                .. mixed.Instead.Select(word => new JsonObject { ["const"] = word }),
                Limited(new JsonObject { ["type"] = "integer" }, mixed.Least, mixed.Most),
            ]),
        ValueListForm list => new()
        {
            ["type"] = "array",
            ["minItems"] = list.AreNumbers ? 0 : 1,
            ["items"] = new JsonObject { ["type"] = list.AreNumbers ? "number" : Strings(["string", "boolean", "number"]) },
        },
        TextForm text => Line(text),
        AmountForm amount => Amount(amount),
        RatioForm ratio => Ratio(ratio),
        AmountListForm list => new()
        {
            ["type"] = "array",
            ["minItems"] = list.Count,
            ["maxItems"] = list.Count,
            ["items"] = Amount(list.Each),
        },
        PartForm part => new() { ["$ref"] = Reference(part.Part) },
        PartListForm list => new() { ["type"] = "array", ["items"] = new JsonObject { ["$ref"] = Reference(list.Part) } },
        _ => throw new InvalidOperationException($"The schema has no way yet to say {form.GetType().Name}."),
    };

    private static JsonObject Number(NumberForm form)
    {
        var schema = Limited(new JsonObject { ["type"] = form.IsWhole ? "integer" : "number" }, form.Least, form.Most);
        if (!form.MayBeZero)
            schema["not"] = new JsonObject { ["const"] = 0 };
        return schema;
    }

    private static JsonObject Line(TextForm form)
    {
        var schema = new JsonObject { ["type"] = "string", ["minLength"] = 1, ["maxLength"] = form.Longest };
        if (form.Pattern is { } pattern)
            schema["pattern"] = pattern;
        return schema;
    }

    private static JsonObject Amount(AmountForm form)
    {
        var text = Text($"^ *{(form.Least < 0 ? "-?" : "")}{Figure} *({Names(form.Dimension)}) *$");
        return form.MayBeBare ? OneOf([Bare(form), text]) : text;
    }

    /// <summary>A number without unit may be meant in either of the garden's units, so it has the limits of both.</summary>
    private static JsonObject Bare(AmountForm form)
    {
        Unit[] units = [UnitSystem.Metric.UnitOf(form.Dimension), UnitSystem.Us.UnitOf(form.Dimension)];
        return Limited(
            new JsonObject { ["type"] = "number" },
            Math.Floor(units.Min(unit => unit.FromReckoned(form.Least!.Value)) * 100) / 100,
            Math.Ceiling(units.Max(unit => unit.FromReckoned(form.Most!.Value)) * 100) / 100);
    }

    private static JsonObject Ratio(RatioForm form)
    {
        var upper = string.Join('|', form.Upper.Select(Names));
        var text = Text($"^ *{Figure} *({upper})( */ *| per )({Figure} *)?({Names(form.Lower)}) *$");
        return form.MayBeBare ? OneOf([Limited(new JsonObject { ["type"] = "number" }, form.Least, form.Most), text]) : text;
    }

    private static JsonNode Rule(KeyRule rule) => rule switch
    {
        Together together => new JsonObject
        {
            ["dependentRequired"] = new JsonObject(
                together.Keys.Select(key =>
                    KeyValuePair.Create(key, (JsonNode?)Strings(together.Keys.Where(other => other != key))))),
        },
        Needs needs => new JsonObject { ["dependentRequired"] = new JsonObject { [needs.Key] = Strings([needs.Other]) } },
        AnyOf any => new JsonObject { ["anyOf"] = Required(any.Keys) },
        NotBoth both => new JsonObject { ["not"] = new JsonObject { ["required"] = Strings(both.Keys) } },
        OnlyWith only => When(
            only.Other,
            new JsonObject { ["not"] = new JsonObject { ["enum"] = Strings(only.Words) } },
            new JsonObject
            {
                ["properties"] = new JsonObject(only.Keys.Select(key => KeyValuePair.Create(key, (JsonNode?)JsonValue.Create(false)))),
            }),
        NeededWith needed => When(
            needed.Other,
            new JsonObject { ["enum"] = Strings(needed.Words) },
            new JsonObject { ["anyOf"] = Required(needed.Keys) }),
        WordsWith words => When(
            words.Other,
            new JsonObject { ["enum"] = Strings(words.Words) },
            new JsonObject { ["properties"] = new JsonObject { [words.Key] = new JsonObject { ["enum"] = Strings(words.Left) } } }),
        _ => throw new InvalidOperationException($"The schema has no way yet to say {rule.GetType().Name}."),
    };

    private static JsonObject When(string key, JsonObject has, JsonObject then) => new()
    {
        ["if"] = new JsonObject { ["properties"] = new JsonObject { [key] = has }, ["required"] = Strings([key]) },
        ["then"] = then,
    };

    private static JsonArray Required(IReadOnlyList<string> keys) =>
        new(
            [
                .. keys.Select(key => new JsonObject
                {
                    ["required"] = Strings([key]),
                    ["properties"] = new JsonObject { [key] = true }, // Strict validators want a required key described beside.
                }),
            ]);

    private static JsonObject OneOf(JsonNode[] forms) => new() { ["oneOf"] = new JsonArray(forms) };

    private static JsonObject Text(string pattern) => new() { ["type"] = "string", ["pattern"] = pattern };

    private static JsonObject Limited(JsonObject schema, double? least, double? most)
    {
        if (least == double.Epsilon)
            schema["exclusiveMinimum"] = 0;
        else if (least is { } low)
            schema["minimum"] = Plain(low);
        if (most is { } high)
            schema["maximum"] = Plain(high);
        return schema;
    }

    private static JsonNode Plain(double number) => JsonNode.Parse(number.ToString("0.####", CultureInfo.InvariantCulture))!;

    private static JsonArray Strings(IEnumerable<string> words) => new([.. words.Select(word => JsonValue.Create(word))]);

    private static string Reference(string part) => $"#/$defs/{part}";

    /// <summary>Every way of writing a unit of the dimension, as a choice in a pattern.</summary>
    private static string Names(Dimension dimension) =>
        string.Join(
            '|',
            Unit.All.Where(unit => unit.Dimension == dimension)
                .SelectMany(unit => unit.Names.Prepend(unit.Symbol))
                .Select(name => Regex.Replace(name, @"[.\[\]^]", @"\$0")));
}
