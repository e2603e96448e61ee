using System.Text;
using System.Text.Encodings.Web;
using System.Text.Unicode;
using RazorSlices;

namespace BackyardSentinel.Web;

/// <summary>Sends a page whole: one that fails while it is made has sent nothing yet.</summary>
internal static class Sending
{
    // What could end a text or an attribute is escaped; letters of all languages stay themselves.
    private static readonly HtmlEncoder Html = HtmlEncoder.Create(UnicodeRanges.All);

    /// <summary>Sends it with the status that the answer has.</summary>
    public static async Task SendAsync(this HttpContext context, RazorSlice page)
    {
        byte[] bytes;
        using (page)
        await using (var text = new StringWriter())
        {
            await page.RenderAsync(text, Html, context.RequestAborted).ConfigureAwait(false);
            bytes = Encoding.UTF8.GetBytes(text.ToString());
        }

        context.Response.ContentType = "text/html; charset=utf-8";
        context.Response.ContentLength = bytes.Length;
        if (!HttpMethods.IsHead(context.Request.Method))
            await context.Response.Body.WriteAsync(bytes, context.RequestAborted).ConfigureAwait(false);
    }

    /// <summary>Goes on to another page, where a reload writes nothing again.</summary>
    public static void GoTo(this HttpContext context, string path)
    {
        context.Response.StatusCode = StatusCodes.Status303SeeOther;
        context.Response.Headers.Location = path;
    }
}
