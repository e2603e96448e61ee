using BackyardSentinel.Contract;

namespace BackyardSentinel.Web.Api;

/// <summary>One address for programs. The OpenAPI document is written from these.</summary>
/// <param name="Method">GET or POST.</param>
/// <param name="Path">The path.</param>
/// <param name="Summary">What it does, in a sentence.</param>
/// <param name="ContentType">What it answers.</param>
public sealed record ApiEndpoint(string Method, string Path, string Summary, string ContentType)
{
    /// <summary>The record that is answered; <c>null</c>: no JSON, or none of ours.</summary>
    public Type? Document { get; init; }

    /// <summary>The name of the schema in docs/schemas of what is sent; <c>null</c>: nothing.</summary>
    public string? Takes { get; init; }

    /// <summary>What it answers when all is well.</summary>
    public int Status { get; init; } = ContentType.Length == 0 ? 204 : 200;

    /// <summary>Nothing comes back: 204.</summary>
    public bool IsSilent => ContentType.Length == 0;

    /// <summary>It asks for one site, by the parameter <c>site</c>; without one for the first.</summary>
    public bool IsOfOneSite { get; init; }

    /// <summary>The key is not asked for.</summary>
    public bool IsOpen { get; init; }

    /// <summary>All of them.</summary>
    public static IReadOnlyList<ApiEndpoint> All { get; } =
    [
        new(
            "GET",
            "/api/garden",
            "How every planting stands, with the weather judged last.",
            "application/json") { Document = typeof(GardenDocument) },
        new("GET", "/api/journal", "What was done and seen.", "application/json") { Document = typeof(JournalDocument) },
        new("POST", "/api/journal", "Writes down what was done or seen, of the site it names, of ?site, or the first; "
            + "answers it with its number.", "application/json")
        {
            Takes = "journal-entry",
            Document = typeof(JournalDocument),
            Status = 201,
            IsOfOneSite = true,
        },
        new("GET", "/api/plan", "What is due, when to spray and when not, for the site named by ?site, or the first.", "application/json")
        {
            Document = typeof(PlanDocument),
            IsOfOneSite = true,
        },
        new(
            "GET",
            "/calendar.ics",
            "The same as a calendar to subscribe to (RFC 5545), with the days on which to look for curl.",
            "text/calendar; charset=utf-8") { IsOfOneSite = true },
        new("POST", "/api/answer", "Answers an alert: seen, or later.", "") { Takes = "answer" },
        new("GET", "/api/changes", "Server-sent events: 'changed' whenever something new has been judged.", "text/event-stream"),
        new(
            "GET",
            "/metrics",
            "The service's figures in the OpenMetrics text format.",
            "application/openmetrics-text; version=1.0.0; charset=utf-8"),
        new(
            "GET",
            "/health",
            "200 while readings are taken and judged and the broker is not away for long, else 503.",
            "text/plain; charset=utf-8") { IsOpen = true },
    ];
}
