using System.Security.Cryptography;

namespace BackyardSentinel.Web;

/// <summary>The files that every page uses. They hold nothing of the garden, so anybody may have them.</summary>
internal static class PageFiles
{
    private static readonly (string Name, string Type)[] All =
    [
        ("style.css", "text/css; charset=utf-8"),
        ("page.js", "text/javascript; charset=utf-8"),
        ("icon.svg", "image/svg+xml"),
        ("icon.png", "image/png"),
        ("icon-512.png", "image/png"),
        ("site.webmanifest", "application/manifest+json"),
    ];

    /// <summary>Their paths.</summary>
    public static IEnumerable<string> Paths => All.Select(file => "/" + file.Name);

    /// <summary>Maps them. A browser asks whether a file is still the same, and gets it again only where it is not.</summary>
    public static void Map(IEndpointRouteBuilder app)
    {
        foreach (var (name, type) in All)
        {
            var bytes = Read(name);
            var tag = $"\"{Convert.ToHexStringLower(SHA256.HashData(bytes))[..16]}\"";
            app.MapLook("/" + name, async context =>
            {
                context.Response.Headers.CacheControl = "no-cache";
                context.Response.Headers.ETag = tag;
                if (context.Request.Headers.IfNoneMatch == tag)
                {
                    context.Response.StatusCode = StatusCodes.Status304NotModified;
                    return;
                }

                context.Response.ContentType = type;
                context.Response.ContentLength = bytes.Length;
                await context.Response.Body.WriteAsync(bytes, context.RequestAborted).ConfigureAwait(false);
            });
        }
    }

    /// <summary>One of the files.</summary>
    /// <param name="name">Its name.</param>
    public static byte[] Read(string name)
    {
        using var stream = typeof(PageFiles).Assembly.GetManifestResourceStream("page/" + name)
            ?? throw new InvalidOperationException($"The page's file {name} is missing from the program.");
        var bytes = new byte[stream.Length];
        stream.ReadExactly(bytes);
        return bytes;
    }
}
