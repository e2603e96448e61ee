using System.Text.Json;
using BackyardSentinel.Contract;
using BackyardSentinel.Delivery;
using BackyardSentinel.Garden;
using BackyardSentinel.Storage;
using BackyardSentinel.Watching;
using BackyardSentinel.Web.Journal;

namespace BackyardSentinel.Web.Api;

/// <summary>Writes an entry that a program sends into the journal, after the checks of the form and the command.</summary>
/// <param name="parts">Where to.</param>
/// <param name="ask">Knows the garden's clock.</param>
/// <param name="guard">Knows which site is meant where the entry names none.</param>
internal sealed class JournalWriting(PageParts parts, LoopQuestion ask, Guard guard)
{
    private static readonly JsonDocumentOptions Strict = new() { AllowDuplicateProperties = false };
    private static readonly string[] Keys = [.. ContractJson.Default.JournalLine.Properties.Select(one => one.Name)];

    /// <summary>201 with the entry as it was written; 200 where the very same one stands already.</summary>
    public async Task WriteAsync(HttpContext context)
    {
        var (entry, reason) = await ReadAsync(context).ConfigureAwait(false);
        if (entry is null)
        {
            await Problems.SendAsync(context, StatusCodes.Status400BadRequest, Wording.Sentence.Whole(reason!)).ConfigureAwait(false);
            return;
        }

        var now = await ask.AskToWriteAsync(garden => garden.At, context.RequestAborted).ConfigureAwait(false);
        var (written, isNew, fault) = Write(entry, now);
        if (written is null)
        {
            await Problems.SendAsync(context, StatusCodes.Status422UnprocessableEntity, fault!).ConfigureAwait(false);
            return;
        }

        context.Response.StatusCode = isNew ? StatusCodes.Status201Created : StatusCodes.Status200OK;
        context.Response.ContentType = "application/json";
        var bytes = JsonSerializer.SerializeToUtf8Bytes(
            new JournalDocument([JournalLine.Of(written)]), ContractJson.Default.JournalDocument);
        await context.Response.Body.WriteAsync(bytes, context.RequestAborted).ConfigureAwait(false);
    }

    private async Task<(JournalEntry? Entry, string? Reason)> ReadAsync(HttpContext context)
    {
        try
        {
            using var json = await JsonDocument.ParseAsync(context.Request.Body, Strict, context.RequestAborted).ConfigureAwait(false);
            if (Unknown(json.RootElement) is { } unknown)
                return (null, $"\"{PlainText.OneLine(unknown, 60)}\" is no key of an entry; those are {string.Join(", ", Keys)}");
            // Its number is ours to give, whatever it says.
            return JournalJson.Read(json.RootElement, 0, guard.VisitOf(context).Site.Id, out var reason) is { } entry
                ? (entry with { Number = 0 }, null) : (null, reason);
        }
        catch (JsonException fault)
        {
            return (null, $"this is no JSON: {fault.Message}");
        }
    }

    /// <summary>A key that says nothing here, such as a misspelt one: what it was meant to say would be lost.</summary>
    private static string? Unknown(JsonElement entry) => entry.ValueKind != JsonValueKind.Object
        ? null
        : entry.EnumerateObject().Select(one => one.Name).FirstOrDefault(name => !Keys.Contains(name));

    private (JournalEntry? Written, bool IsNew, string? Fault) Write(JournalEntry entry, DateTimeOffset now)
    {
        if (parts.Garden.Sites.FirstOrDefault(one => one.Id == entry.Site) is not { } site)
            return (null, false, $"The garden has no site {entry.Site}; it has "
                + $"{string.Join(", ", parts.Garden.Sites.Select(one => one.Id))}.");
        if (site.Plantings.All(one => one.Id != entry.Planting))
            return (null, false, $"{site.Id} has no planting {entry.Planting}; it has "
                + $"{string.Join(", ", site.Plantings.Select(one => one.Id))}.");
        if (JournalCheck.FaultOfNote(entry.Note) is { } tooLong)
            return (null, false, tooLong);
        if (entry.Note is { } note)
            entry = entry with { Note = JournalForm.OneLine(note) is { Length: > 0 } line ? line : null };

        // Read and written in one turn, so that two at once do not both find the day free.
        return parts.Books.WithJournal<(JournalEntry?, bool, string?)>(book =>
        {
            var standing = JournalRow.Standing(book.Rows());
            if (JournalCheck.SaidAlready(entry, standing) is { } there)
                return (there, false, null);
            return JournalCheck.Against(entry, standing, now, site) is { } fault
                ? (null, false, fault.What.Text)
                : (entry with { Number = book.Add(entry, now) }, true, null);
        });
    }
}
