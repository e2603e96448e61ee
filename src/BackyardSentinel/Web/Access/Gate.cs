using System.Net;
using BackyardSentinel.Configuration;

namespace BackyardSentinel.Web.Access;

/// <summary>
/// Stands before every page: by which name it is called, who calls, and whether what is written comes from a page of ours.
/// </summary>
/// <param name="settings">Where the page is served.</param>
/// <param name="keys">The keys.</param>
/// <param name="time">The clock of the rate limit.</param>
internal sealed class Gate(PageSettings settings, PageKeys keys, TimeProvider time)
{
    /// <summary>The cookie that carries the key.</summary>
    public const string Cookie = "sentinel-key";

    /// <summary>The header that a program's writing carries; no foreign page can send it without being asked first.</summary>
    public const string Header = "Sentinel-Write";

    /// <summary>The field of a form that carries its pass.</summary>
    public const string Field = "pass";

    /// <summary>A body is a short form.</summary>
    public const long LargestBody = 64 * 1024;

    /// <summary>What a web server in front adds: RFC 7239, RFC 9110 7.6.3, and the older marks in common use.</summary>
    private static readonly string[] PassedOn =
        ["Forwarded", "Via", "X-Forwarded-For", "X-Forwarded-Host", "X-Forwarded-Proto", "X-Real-IP"];

    private readonly HostNames _names = new(settings);
    private readonly WrongKeys _wrong = new(time);

    /// <summary>The keys.</summary>
    public PageKeys Keys => keys;

    /// <summary>The headers of every answer: nothing from elsewhere, no framing, no guessing, nothing told to others.</summary>
    public static void Harden(HttpResponse response)
    {
        var headers = response.Headers;
        headers.ContentSecurityPolicy =
            "default-src 'self'; object-src 'none'; base-uri 'none'; frame-ancestors 'none'; form-action 'self'";
        headers.XContentTypeOptions = "nosniff";
        // Forms tell where they come from within the page, and links tell nobody else.
        headers["Referrer-Policy"] = "same-origin";
        headers["Cross-Origin-Opener-Policy"] = "same-origin";
        headers["Cross-Origin-Resource-Policy"] = "same-origin";
        headers["Permissions-Policy"] = "geolocation=(), camera=(), microphone=()";
        headers.CacheControl = "no-store";
    }

    /// <summary>The page is called by a name of its own.</summary>
    public bool IsOwnName(HttpRequest request) => _names.Has(request.Host);

    /// <summary>
    /// A web server has passed it on, for whomever, and the garden file names no address by which others know the page: it takes every
    /// caller for one at this computer then, and must not answer.
    /// </summary>
    public bool IsPassedOnUnasked(HttpRequest request) =>
        settings.IsLocal && Array.Exists(PassedOn, request.Headers.ContainsKey);

    /// <summary>What the caller may do. On this computer alone whoever gets here may write.</summary>
    public Role RoleOf(HttpRequest request)
    {
        if (settings.IsLocal)
            return Role.Writer;
        // Who was let in at the door goes on, whatever others behind the same address try.
        if (KeySent(request) is not { } key)
            return keys.RoleOf(request.Cookies[Cookie]);
        var role = _wrong.IsTooOften(From(request.HttpContext)) ? Role.Stranger : keys.RoleOf(key);
        return role == Role.Writer && IsCalendar(request) && KeyOfProgram(request) is null ? Role.Reader : role;
    }

    /// <summary>Counts the wrong key that a stranger brought, if any.</summary>
    /// <returns>Too many came from that address: no key from there is looked at for a minute.</returns>
    public bool NoteWrong(HttpContext context)
    {
        var from = From(context);
        if (_wrong.IsTooOften(from))
            return true;
        if ((KeySent(context.Request) ?? context.Request.Cookies[Cookie]) is { } key)
            _wrong.Note(from, key);
        return false;
    }

    /// <summary>Lets somebody in by a key: a cookie that scripts cannot read and that other pages cannot use.</summary>
    /// <returns>What the key opens; a stranger's address that has tried too often is not even looked at.</returns>
    public (Role Role, bool TooOften) Enter(HttpContext context, string? key)
    {
        var from = From(context);
        if (_wrong.IsTooOften(from))
            return (Role.Stranger, true);
        var role = keys.RoleOf(key?.Trim());
        if (role == Role.Stranger)
        {
            _wrong.Note(from, key ?? "");
            return (role, false);
        }

        context.Response.Cookies.Append(
            Cookie,
            key!.Trim(),
            new CookieOptions
            {
                HttpOnly = true,
                SameSite = SameSiteMode.Strict,
                Secure = IsEncrypted(context.Request),
                Path = "/",
                MaxAge = TimeSpan.FromDays(400),
                IsEssential = true,
            });
        return (role, false);
    }

    /// <summary>
    /// Something is written by a page of ours: the browser says that it comes from here, and the form carries its pass or a program
    /// the header.
    /// </summary>
    public bool IsFromHere(HttpRequest request, string? pass)
    {
        // A key in that header no browser sends by itself, as it does a cookie.
        if (!settings.IsLocal && KeyOfProgram(request) is not null)
            return true;
        var origin = request.Headers.Origin.ToString();
        var site = request.Headers["Sec-Fetch-Site"].ToString();
        if (site.Length > 0 && site is not ("same-origin" or "none"))
            return false;
        if (origin.Length > 0 && !IsAddress(request) && OriginOf(request)?.Authority != request.Host.Value)
            return false;
        return keys.IsFormPass(pass) || request.Headers.ContainsKey(Header);
    }

    /// <summary>
    /// A web server in front encrypts what is sent to the address in the garden file; in the home network the same page may be called
    /// by another name, without.
    /// </summary>
    private bool IsEncrypted(HttpRequest request) => request.IsHttps
        || (settings.Address is { Scheme: "https" } address
            && (IsAddress(request) || address.Host.Equals(request.Host.Host, StringComparison.OrdinalIgnoreCase)));

    /// <summary>What is sent comes from a page at the address in the garden file, by which name ever a web server passed it on.</summary>
    private bool IsAddress(HttpRequest request) =>
        settings.Address is { } address && OriginOf(request) is { } origin
        && (origin.Scheme, origin.Authority) == (address.Scheme, address.Authority);

    private static Uri? OriginOf(HttpRequest request) =>
        Uri.TryCreate(request.Headers.Origin.ToString(), UriKind.Absolute, out var origin) ? origin : null;

    private static IPAddress From(HttpContext context) => context.Connection.RemoteIpAddress ?? IPAddress.None;

    /// <summary>
    /// The key that comes with the request itself; <c>null</c>: none. A calendar that subscribes can send nothing but its address:
    /// there the family's key may stand in it.
    /// </summary>
    private static string? KeySent(HttpRequest request) =>
        KeyOfProgram(request) ?? (IsCalendar(request) && request.Query["key"].ToString() is { Length: > 0 } key ? key : null);

    private static bool IsCalendar(HttpRequest request) => request.Path == "/calendar.ics";

    /// <summary>The key that a program sends as <c>Authorization: Bearer KEY</c>; <c>null</c>: none.</summary>
    private static string? KeyOfProgram(HttpRequest request)
    {
        const string Scheme = "Bearer ";
        var sent = request.Headers.Authorization.ToString();
        return sent.StartsWith(Scheme, StringComparison.OrdinalIgnoreCase) ? sent[Scheme.Length..].Trim() : null;
    }
}
