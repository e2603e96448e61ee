using System.Text.Json;
using BackyardSentinel.Contract;
using Microsoft.AspNetCore.WebUtilities;

namespace BackyardSentinel.Web.Api;

/// <summary>Tells programs what is wrong, as RFC 9457 has it.</summary>
internal static class Problems
{
    /// <summary>The caller is a program, by the address that it asks for.</summary>
    public static bool IsForPrograms(HttpRequest request) =>
        request.Path.StartsWithSegments("/api", StringComparison.Ordinal) || request.Path.Value is "/metrics" or "/calendar.ics";

    /// <summary>Sends a problem.</summary>
    public static Task SendAsync(HttpContext context, int status, string detail)
    {
        context.Response.StatusCode = status;
        context.Response.ContentType = "application/problem+json";
        var bytes = JsonSerializer.SerializeToUtf8Bytes(
            ProblemDocument.Of(status, ReasonPhrases.GetReasonPhrase(status), detail),
            ContractJson.Default.ProblemDocument);
        return context.Response.Body.WriteAsync(bytes, context.RequestAborted).AsTask();
    }
}
