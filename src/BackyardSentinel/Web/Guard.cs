using BackyardSentinel.Delivery;
using BackyardSentinel.Web.Access;
using BackyardSentinel.Web.Api;

namespace BackyardSentinel.Web;

/// <summary>Lets a request through to the pages or tells why not, and lets people in who have a key.</summary>
/// <param name="gate">Who is let in.</param>
/// <param name="parts">What the page is made from.</param>
internal sealed class Guard(Gate gate, PageParts parts)
{
    /// <summary>Where a key is asked for.</summary>
    public const string EnterPath = "/enter";

    private static readonly HashSet<string> Open = [.. PageFiles.Paths, EnterPath, "/health"];

    /// <summary>Looks at each request before anything else does.</summary>
    public async Task PassAsync(HttpContext context, RequestDelegate next)
    {
        Gate.Harden(context.Response);
        var (request, response) = (context.Request, context.Response);
        var misdirected =
            !gate.IsOwnName(request)
                ? "This page is not called by that name. Name it as 'address' under 'page' in the garden file, "
                    + "or use the address that the service told at its start.\n"
            : gate.IsPassedOnUnasked(request)
                ? "A web server has passed this on, and the page would ask nobody for a key. Name the public address as 'address' under "
                    + "'page' in the garden file: then it asks everybody.\n"
            : null;
        if (misdirected is not null)
        {
            response.StatusCode = StatusCodes.Status421MisdirectedRequest;
            response.ContentType = "text/plain; charset=utf-8";
            await response.WriteAsync(misdirected, context.RequestAborted).ConfigureAwait(false);
            return;
        }

        if (Open.Contains(request.Path.Value ?? ""))
        {
            await next(context).ConfigureAwait(false);
            return;
        }

        var role = gate.RoleOf(request);
        if (role == Role.Stranger)
        {
            var tooOften = gate.NoteWrong(context);
            response.StatusCode = tooOften ? StatusCodes.Status429TooManyRequests : StatusCodes.Status401Unauthorized;
            if (tooOften)
                response.Headers.RetryAfter = "60";
            else
                response.Headers.WWWAuthenticate = "Bearer";
            await (Problems.IsForPrograms(request)
                ? Problems.SendAsync(
                    context,
                    response.StatusCode,
                    tooOften
                        ? "Too many wrong keys came from this address. Wait a minute, then send the right one."
                        : "This address asks for a key: send it as 'Authorization: Bearer KEY'.")
                : ShowEnterAsync(context)).ConfigureAwait(false);
            return;
        }

        // Other methods no path has: the answer to them names those it has.
        if (HttpMethods.IsPost(request.Method) && !await MayWriteAsync(context, role).ConfigureAwait(false))
        {
            await FaultAsync(
                context,
                StatusCodes.Status403Forbidden,
                role != Role.Writer ? "fault.reader" : Problems.IsForPrograms(request) ? "fault.header" : "fault.foreign")
                .ConfigureAwait(false);
            return;
        }

        if (UnknownSite(request) is { } unknown)
        {
            var words = VisitOf(context).Words;
            await FaultAsync(
                context,
                StatusCodes.Status404NotFound,
                words.Say("fault.site", ("site", unknown)),
                words.Say("fault.site.do", ("sites", string.Join(", ", parts.Garden.Sites.Select(site => site.Id)))))
                .ConfigureAwait(false);
            return;
        }

        await next(context).ConfigureAwait(false);
    }

    /// <summary>Tells what cannot be shown, and what to do: a page for people, a problem for programs.</summary>
    /// <param name="context">The request.</param>
    /// <param name="status">The HTTP status.</param>
    /// <param name="key">The words.</param>
    public Task FaultAsync(HttpContext context, int status, string key)
    {
        var words = VisitOf(context).Words;
        return FaultAsync(context, status, words.Say(key), words.Say(key + ".do"));
    }

    /// <inheritdoc cref="FaultAsync(HttpContext, int, string)"/>
    /// <param name="context">The request.</param>
    /// <param name="status">The HTTP status.</param>
    /// <param name="headline">What cannot be shown.</param>
    /// <param name="remedy">What to do.</param>
    public Task FaultAsync(HttpContext context, int status, string headline, string remedy)
    {
        context.Response.StatusCode = status;
        var visit = VisitOf(context);
        return Problems.IsForPrograms(context.Request)
            ? Problems.SendAsync(context, status, $"{headline} {remedy}")
            : context.SendAsync(Pages.Fault.Create(new FaultView(Leaves.Of(visit, null, null, headline), headline, remedy)));
    }

    /// <summary>The visit of a request: its site, or the first.</summary>
    public Visit VisitOf(HttpContext context)
    {
        var sites = parts.Garden.Sites;
        var asked = context.Request.Query["site"].ToString();
        var site = sites.FirstOrDefault(one => one.Id == asked) ?? sites[0];
        return new Visit(
            parts,
            site,
            gate.RoleOf(context.Request),
            gate.Keys.FormPass,
            path => site == sites[0] ? path : $"{path}{(path.Contains('?', StringComparison.Ordinal) ? '&' : '?')}site={site.Id}");
    }

    /// <summary>The door.</summary>
    public Task ShowEnterAsync(HttpContext context) =>
        context.SendAsync(Pages.Enter.Create(View(context, context.Request.Query["key"].ToString() is { Length: > 0 } key ? key : null)));

    /// <summary>Tries a key.</summary>
    public async Task EnterAsync(HttpContext context)
    {
        var form = await context.Request.ReadFormAsync(context.RequestAborted).ConfigureAwait(false);
        var words = parts.Words.Page(parts.Garden.Sites[0].Zone);
        var (role, tooOften) = gate.Enter(context, form["key"].ToString());
        var view = View(context, null);
        if (role == Role.Stranger)
        {
            context.Response.StatusCode = tooOften ? StatusCodes.Status429TooManyRequests : StatusCodes.Status401Unauthorized;
            view = view with { Fault = words.Say(tooOften ? "enter.too-often" : "enter.wrong") };
        }
        else
        {
            // Not sent on: a browser that comes from elsewhere would not bring the strict cookie along.
            view = view with { Entered = role };
        }

        await context.SendAsync(Pages.Enter.Create(view)).ConfigureAwait(false);
    }

    /// <summary>A site that is asked for by name and not there; another one's answer would be taken for its own.</summary>
    private string? UnknownSite(HttpRequest request) =>
        request.Query["site"].ToString() is { Length: > 0 } asked && parts.Garden.Sites.All(site => site.Id != asked)
            ? PlainText.OneLine(asked, 60)
            : null;

    private EnterView View(HttpContext context, string? key)
    {
        var path = context.Request.Path.Value;
        return new EnterView(
            parts.Words.Page(parts.Garden.Sites[0].Zone),
            parts.Garden.Name,
            key,
            null,
            null,
            path is not null and not EnterPath && IsOurs(path) ? path : "/");
    }

    /// <summary>A path that no browser takes for another computer's, as it would some with a backslash or a tab.</summary>
    private static bool IsOurs(string path) =>
        path.StartsWith('/') && !path.StartsWith("//", StringComparison.Ordinal)
        && path.All(letter => char.IsAsciiLetterOrDigit(letter) || letter is '/' or '-' or '_' or '.');

    private async Task<bool> MayWriteAsync(HttpContext context, Role role)
    {
        if (role != Role.Writer)
            return false;
        var pass = context.Request.HasFormContentType && !Problems.IsForPrograms(context.Request)
            ? (await context.Request.ReadFormAsync(context.RequestAborted).ConfigureAwait(false))[Gate.Field].ToString()
            : null;
        return gate.IsFromHere(context.Request, pass);
    }
}
