using System.Reflection;
using System.Text.Json.Nodes;
using BackyardSentinel.Contract;
using BackyardSentinel.Web.Api;
using Microsoft.AspNetCore.Http;

namespace BackyardSentinel.Tests.Generated;

/// <summary>docs/openapi.json: what programs may ask the page, as OpenAPI 3.1 has it, with the schemas of docs/schemas.</summary>
internal static class OpenApi
{
    private const string Problem = "problem";

    /// <summary>The file.</summary>
    public static GeneratedFile File { get; } = new("docs/openapi.json", _ => Write());

    private static string Write()
    {
        var paths = new JsonObject();
        foreach (var path in ApiEndpoint.All.GroupBy(one => one.Path))
            paths[path.Key] = new JsonObject(
                path.Select(one => KeyValuePair.Create(one.Method.ToLowerInvariant(), (JsonNode?)Operation(one))));
        var names = ApiEndpoint.All.SelectMany(one => new[] { one.Takes, one.Document is { } type ? NameOf(type) : null })
            .OfType<string>()
            .Append(Problem)
            .Distinct()
            .Order(StringComparer.Ordinal);
        var document = new JsonObject
        {
            ["openapi"] = "3.1.0",
            ["info"] = new JsonObject
            {
                ["title"] = "Backyard Sentinel",
                ["version"] = "1",
                ["summary"] = "A garden's weather, judged for peach leaf curl.",
                ["license"] = new JsonObject { ["name"] = "MIT", ["identifier"] = "MIT" },
            },
            ["servers"] = new JsonArray(new JsonObject { ["url"] = "/" }),
            ["security"] = new JsonArray(new JsonObject { ["key"] = new JsonArray() }),
            ["paths"] = paths,
            ["components"] = new JsonObject
            {
                ["securitySchemes"] = new JsonObject
                {
                    ["key"] = new JsonObject
                    {
                        ["type"] = "http",
                        ["scheme"] = "bearer",
                        ["description"] = "A key of the page; none is asked for on the computer itself where the page is for it alone.",
                    },
                },
                ["schemas"] = new JsonObject(names.Select(name => KeyValuePair.Create(name, (JsonNode?)Schema(name)))),
            },
        };
        return document.ToJsonString(ContractJson.Printed.Options) + "\n";
    }

    private static JsonObject Operation(ApiEndpoint endpoint)
    {
        var done = new JsonObject { ["description"] = endpoint.IsSilent ? "Done." : "The answer." };
        if (!endpoint.IsSilent)
            done["content"] = new JsonObject
            {
                [endpoint.ContentType] = new JsonObject
                {
                    ["schema"] = endpoint.Document is { } type ? Reference(NameOf(type)) : new JsonObject { ["type"] = "string" },
                },
            };
        var operation = new JsonObject
        {
            ["operationId"] = $"{endpoint.Method.ToLowerInvariant()}-{endpoint.Path.Split('/')[^1]}",
            ["summary"] = endpoint.Summary,
        };
        if (endpoint.IsOfOneSite)
            operation["parameters"] = new JsonArray(
                new JsonObject
                {
                    ["name"] = "site",
                    ["in"] = "query",
                    ["description"] = "The site's id; left out, the garden's first. One that is not there is answered with 404.",
                    ["schema"] = new JsonObject { ["type"] = "string" },
                });
        if (endpoint.Takes is { } sent)
            operation["requestBody"] = new JsonObject
            {
                ["required"] = true,
                ["content"] = new JsonObject { ["application/json"] = new JsonObject { ["schema"] = Reference(sent) } },
            };
        if (endpoint.IsOpen)
            operation["security"] = new JsonArray();
        operation["responses"] = new JsonObject
        {
            [endpoint.Status.ToString(System.Globalization.CultureInfo.InvariantCulture)] = done,
            ["default"] = new JsonObject
            {
                ["description"] = "What is wrong (RFC 9457).",
                ["content"] = new JsonObject { ["application/problem+json"] = new JsonObject { ["schema"] = Reference(Problem) } },
            },
        };
        if (endpoint.Status == StatusCodes.Status201Created)
        {
            var again = done.DeepClone();
            again["description"] = "The same was there already, and was not written again.";
            operation["responses"]!["200"] = again;
        }

        return operation;
    }

    private static JsonObject Reference(string name) => new() { ["$ref"] = $"#/components/schemas/{name}" };

    private static string NameOf(Type document) => document.GetCustomAttribute<SchemaFileAttribute>()!.Name;

    // Its $id stays, by which its inner references are told from the document's.
    private static JsonObject Schema(string name)
    {
        var path = $"docs/schemas/{name}.schema.json";
        var schema = GeneratedFile.Made(path)?.AsObject() ?? JsonNode.Parse(
            System.IO.File.ReadAllText(Checkout.Path(path.Split('/'))))!.AsObject();
        schema.Remove("$schema");
        return schema;
    }
}
