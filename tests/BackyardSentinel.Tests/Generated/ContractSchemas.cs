using System.Reflection;
using System.Runtime.CompilerServices;
using System.Text.Json;
using System.Text.Json.Nodes;
using System.Text.Json.Schema;
using System.Text.Json.Serialization;
using System.Text.Json.Serialization.Metadata;
using System.Text.RegularExpressions;
using System.Xml.Linq;
using BackyardSentinel.Contract;

namespace BackyardSentinel.Tests.Generated;

/// <summary>
/// docs/schemas: the JSON Schema (2020-12) of each document of <see cref="ContractJson"/>, its names and types from there, its
/// words from the comments in the code, its bounds and sets from the attributes of its parameters.
/// </summary>
internal static partial class ContractSchemas
{
    private static readonly JsonSchemaExporterOptions Options = new()
    {
        TreatNullObliviousAsNonNullable = true,
        TransformSchemaNode = Node,
    };

    private static readonly Dictionary<string, XElement> Comments = XDocument
        .Load(Path.Combine(AppContext.BaseDirectory, "backyard-sentinel.xml"))
        .Descendants("member")
        .ToDictionary(member => member.Attribute("name")!.Value, StringComparer.Ordinal);

    /// <summary>One for each document.</summary>
    public static IEnumerable<GeneratedFile> Files =>
        Documents.Append(new GeneratedFile("docs/schemas/journal-entry.schema.json", _ => JournalEntry()));

    private static IEnumerable<GeneratedFile> Documents =>
        from document in typeof(ContractJson).Assembly.GetTypes()
        let name = document.GetCustomAttribute<SchemaFileAttribute>()?.Name
        where name is not null
        orderby name
        select new GeneratedFile($"docs/schemas/{name}.schema.json", _ => Write(document, name));

    private static string Write(Type document, string name)
    {
        var schema = ContractJson.Printed.GetTypeInfo(document)!.GetJsonSchemaAsNode(Options).AsObject();
        var whole = new JsonObject
        {
            ["$schema"] = "https://json-schema.org/draft/2020-12/schema",
            ["$id"] = $"https://backyard-sentinel.invalid/schemas/{name}.schema.json",
            ["title"] = Words(Comment(document, "summary")),
        };
        foreach (var (key, value) in schema)
            whole[key] = value?.DeepClone();
        return whole.ToJsonString(ContractJson.Printed.Options) + "\n";
    }

    /// <summary>
    /// An entry as a program sends it: as the journal has it, with no number yet, and the site only where it is not the first.
    /// </summary>
    private static string JournalEntry()
    {
        var item = JsonNode.Parse(Write(typeof(JournalDocument), "journal"))!["properties"]!["entries"]!["items"]!.AsObject();
        var entry = new JsonObject
        {
            ["$schema"] = "https://json-schema.org/draft/2020-12/schema",
            ["$id"] = "https://backyard-sentinel.invalid/schemas/journal-entry.schema.json",
            ["title"] = "What was done or seen, to be written into the journal",
        };
        foreach (var (key, value) in item)
            entry[key] = value?.DeepClone();
        entry["properties"]!.AsObject().Remove("number");
        entry["required"] = Array(item["required"]!.AsArray().Select(one => one!.GetValue<string>())
            .Where(one => one is not ("number" or "site")));
        return entry.ToJsonString(ContractJson.Printed.Options) + "\n";
    }

    private static JsonObject Node(JsonSchemaExporterContext context, JsonNode exported)
    {
        // Of what came before the exporter only says where.
        var node = exported is JsonObject before && before.ContainsKey("$ref") ? context.TypeInfo.GetJsonSchemaAsNode(Options).AsObject()
            : context.TypeInfo.Kind == JsonTypeInfoKind.Object
            ? Object(context.TypeInfo, exported.AsObject())
            : Value(context.TypeInfo.Type, exported);
        // Of an item that a converter of ours writes the exporter says nothing.
        if (context.TypeInfo is { Kind: JsonTypeInfoKind.Enumerable, ElementType: { } item } && node["items"] is null)
            node["items"] = Value(item, new JsonObject());
        return context.PropertyInfo is { } property ? Property(property, node) : node;
    }

    private static JsonObject Property(JsonPropertyInfo asked, JsonObject node)
    {
        var property = (PropertyInfo)asked.AttributeProvider!;
        if (ParameterOf(property) is { } parameter)
            Bound(parameter, property, node);
        if (asked.IsGetNullable && !IsLeftOut(property))
            OrNull(node);
        return Described(node, Words(Comment(property.DeclaringType!, "param", property.Name)));
    }

    /// <summary>A value that is no object: what the converters write, told to the exporter, which cannot know.</summary>
    private static JsonObject Value(Type type, JsonNode exported)
    {
        type = Nullable.GetUnderlyingType(type) ?? type;
        if (type == typeof(DateTimeOffset))
            return Text(@"^\d{4}-\d{2}-\d{2}T\d{2}:\d{2}:\d{2}Z$", "date-time");
        if (type == typeof(DateOnly))
            return Text(@"^\d{4}-\d{2}-\d{2}$", "date");
        if (type == typeof(TimeOnly))
            return Text(@"^([01]\d|2[0-3]):[0-5]\d$");
        if (type == typeof(string))
            return new JsonObject { ["type"] = "string", ["minLength"] = 1 };
        if (type == typeof(double))
            return new JsonObject { ["type"] = "number" };
        if (type == typeof(int) || type == typeof(long))
            return new JsonObject { ["type"] = "integer" };
        if (type.IsEnum)
            return new JsonObject { ["type"] = "string", ["enum"] = Array(WordsOf(type)) };
        var node = exported.DeepClone().AsObject();
        if (node["type"] is JsonArray)
            node["type"] = node.ContainsKey("items") ? "array" : "object";
        return node;
    }

    private static JsonObject Text(string pattern, string? format = null)
    {
        var node = new JsonObject { ["type"] = "string" };
        if (format is not null)
            node["format"] = format;
        node["pattern"] = pattern;
        return node;
    }

    private static JsonObject Object(JsonTypeInfo type, JsonObject exported)
    {
        var properties = type.Properties.Where(one => exported["properties"]![one.Name] is not null).ToList();
        var node = new JsonObject
        {
            ["type"] = "object",
            ["additionalProperties"] = false,
            ["required"] = Array(properties.Where(one => !IsLeftOut((PropertyInfo)one.AttributeProvider!)).Select(one => one.Name)),
            ["properties"] = exported["properties"]!.DeepClone(),
        };
        var rules = new JsonArray();
        foreach (var property in properties)
        {
            // The exporter forgets to ask where a parameter has a default.
            if (node["properties"]![property.Name]!["type"] is null)
                node["properties"]![property.Name] = Property(property, Value(property.PropertyType, new JsonObject()));
            var parameter = ParameterOf((PropertyInfo)property.AttributeProvider!);
            if (parameter?.GetCustomAttribute<NumberOfAttribute>() is { } number)
                Add(rules, NumberRules(NameOf(number.Property), property.Name, type.Type.GetProperty(number.Property)!.PropertyType));
            if (parameter?.GetCustomAttribute<UnlessAttribute>() is { } unless)
                rules.Add(UnlessRule(NameOf(unless.Property), unless.Word, property.Name));
            if (parameter?.GetCustomAttribute<InsteadOfAttribute>() is { } other)
                node["oneOf"] = new JsonArray(There(NameOf(other.Property)), There(property.Name));
        }

        Add(rules, OnlyRules(properties));
        if (rules.Count > 0)
            node["allOf"] = rules;
        return node;
    }

    private static IEnumerable<JsonNode> NumberRules(string word, string number, Type set) =>
        Enum.GetValuesAsUnderlyingType(set)
            .Cast<int>()
            .Order()
            .Zip(
                WordsOf(set),
                (value, text) => new JsonObject
                {
                    ["if"] = Constant(word, text),
                    ["then"] = Constant(number, value),
                });

    private static IEnumerable<JsonNode> OnlyRules(IEnumerable<JsonPropertyInfo> properties) =>
        from property in properties
        let only = ParameterOf((PropertyInfo)property.AttributeProvider!)?.GetCustomAttribute<OnlyAttribute>()
        where only is not null
        group (property.Name, only.MayLack) by (only.Property, only.Word) into kind
        select new JsonObject
        {
            ["if"] = Constant(NameOf(kind.Key.Property), kind.Key.Word),
            ["then"] = new JsonObject
            {
                ["required"] = Array(kind.Where(one => !one.MayLack).Select(one => one.Name)),
                ["properties"] = new JsonObject(kind.Select(one => KeyValuePair.Create(one.Name, (JsonNode?)true))),
            },
            ["else"] = new JsonObject
            {
                ["properties"] = new JsonObject(kind.Select(one => KeyValuePair.Create(one.Name, (JsonNode?)false))),
            },
        };

    private static JsonObject UnlessRule(string property, string word, string leftOut) => new()
    {
        ["if"] = Constant(property, word),
        ["then"] = new JsonObject { ["properties"] = new JsonObject { [leftOut] = false } },
        ["else"] = There(leftOut),
    };

    private static JsonObject There(string property) => new()
    {
        ["required"] = new JsonArray(property),
        ["properties"] = new JsonObject { [property] = true },
    };

    private static JsonObject Constant(string property, JsonNode value) =>
        new() { ["properties"] = new JsonObject { [property] = new JsonObject { ["const"] = value } } };

    private static void Bound(ParameterInfo parameter, PropertyInfo property, JsonObject node)
    {
        if (parameter.GetCustomAttribute<BoundsAttribute>() is { } bounds)
        {
            var (least, most) = (string?)node["type"] switch
            {
                "string" => ("minLength", "maxLength"),
                "array" => ("minItems", "maxItems"),
                _ => ("minimum", "maximum"),
            };
            if (bounds is { Least: 0 } && least == "minLength")
                node.Remove(least);
            else
                node[least] = bounds.Least;
            if (double.IsFinite(bounds.Most))
                node[most] = bounds.Most;
        }

        if (parameter.GetCustomAttribute<NumberOfAttribute>() is { } number)
        {
            var values = Enum.GetValuesAsUnderlyingType(property.DeclaringType!.GetProperty(number.Property)!.PropertyType).Cast<int>();
            (node["minimum"], node["maximum"]) = (values.Min(), values.Max());
        }

        var pattern = parameter.GetCustomAttribute<PatternAttribute>();
        if (pattern is not null && (string?)node["type"] == "object")
        {
            node["propertyNames"] = new JsonObject { ["pattern"] = pattern.Pattern };
            var held = property.PropertyType.GetGenericArguments()[1];
            // Free texts may be empty; words of a closed set are what they are.
            node["additionalProperties"] = held.IsEnum ? Value(held, new JsonObject()) : new JsonObject { ["type"] = "string" };
        }
        else if (pattern is not null)
        {
            node.Remove("minLength");
            node["pattern"] = pattern.Pattern;
        }

        if (parameter.GetCustomAttribute<DistinctAttribute>() is not null)
            node["uniqueItems"] = true;
        if (WordsOf(parameter) is not { } words)
            return;
        if ((string?)node["type"] == "string")
        {
            node.Remove("minLength");
            node["enum"] = Array(words);
        }
        else if (node["items"] is JsonObject items)
        {
            items.Remove("minLength");
            items["enum"] = Array(words);
        }
        else
        {
            // The exporter says nothing of values that a converter of ours writes.
            var value = Value(property.PropertyType.GetGenericArguments()[1], new JsonObject());
            node["additionalProperties"] = false;
            node["properties"] = new JsonObject(words.Select(word => KeyValuePair.Create(word, (JsonNode?)value.DeepClone())));
        }
    }

    private static IEnumerable<string>? WordsOf(ParameterInfo parameter)
    {
        if (parameter.GetCustomAttribute<OneOfAttribute>() is { } oneOf)
            return (IEnumerable<string>)oneOf.Type.GetProperty(oneOf.Member)!.GetValue(null)!;
        if (parameter.GetCustomAttribute<SaidByAttribute>() is not { } saidBy)
            return null;
        return saidBy
            .Family.Assembly.GetTypes()
            .Where(type => type.IsSubclassOf(saidBy.Family) && !type.IsAbstract)
            .Select(type => (string)saidBy.Family.GetProperty(saidBy.Property)!.GetValue(RuntimeHelpers.GetUninitializedObject(type))!)
            .Order(StringComparer.Ordinal)
            .Concat(saidBy.Also)
            .Select(word => saidBy.Prefix + word);
    }

    private static void OrNull(JsonObject node)
    {
        node["type"] = new JsonArray((string)node["type"]!, "null");
        if (node["enum"] is JsonArray words)
            words.Add(null);
    }

    private static JsonObject Described(JsonObject node, string words)
    {
        var described = new JsonObject { ["description"] = words };
        foreach (var (key, value) in node)
            described[key] = value?.DeepClone();
        return described;
    }

    private static JsonArray Array(IEnumerable<string> words) => new([.. words.Select(word => (JsonNode)word)]);

    private static void Add(JsonArray list, IEnumerable<JsonNode> nodes)
    {
        foreach (var node in nodes)
            list.Add(node);
    }

    private static IReadOnlyList<string> WordsOf(Type set) => ((IWords)ContractJson.Default.Options.GetConverter(set)).Words;

    private static string NameOf(string property) => JsonNamingPolicy.SnakeCaseLower.ConvertName(property);

    private static bool IsLeftOut(PropertyInfo property) => property.GetCustomAttribute<JsonIgnoreAttribute>() is not null;

    private static ParameterInfo? ParameterOf(PropertyInfo property) => property
        .DeclaringType!.GetConstructors()
        .SelectMany(one => one.GetParameters())
        .FirstOrDefault(parameter => parameter.Name == property.Name);

    private static XElement Comment(Type type, string element, string? parameter = null) =>
        Comments
            .Where(member =>
                member.Key == $"T:{type.FullName}" || member.Key.StartsWith($"M:{type.FullName}.#ctor", StringComparison.Ordinal))
            .SelectMany(member => member.Value.Elements(element))
            .FirstOrDefault(one => parameter is null || one.Attribute("name")?.Value == parameter)
        ?? throw new InvalidOperationException($"{type.Name} has no comment <{element}> {parameter}.");

    private static string Words(XElement comment) => Spaces().Replace(comment.Value.Trim(), " ").TrimEnd('.');

    [GeneratedRegex(@"\s+")]
    private static partial Regex Spaces();
}
