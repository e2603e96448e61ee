using System.Net;
using BackyardSentinel.Configuration;
using BackyardSentinel.Guards;
using BackyardSentinel.Web.Access;
using BackyardSentinel.Wording;

namespace BackyardSentinel.Commands.Examine;

/// <summary>The check of the page: whether it answers.</summary>
internal static class PageChecks
{
    private static readonly TimeSpan Patience = TimeSpan.FromSeconds(5);

    public static Verdict IsServed(Scene scene)
    {
        if (scene.Garden.Page is not { } page)
            return Verdict.Fine($"The garden file asks for no page.");
        if (scene.Store.IsHeld != true)
            return Verdict.Unknown($"Whether the page is served is not known, since no service is seen to run with this store.");
        return Answers(page)
            ? Verdict.Fine($"The page answers on port {page.Port}.")
            : Verdict.Wrong(
                $"The service runs, and no page answers on port {page.Port}.",
                $"Its log says why: another program has the port, or the keys {new Name(PageKeys.PathBeside(scene.Garden.Store.Path))} "
                    + $"cannot be read. Delete those, and it makes new ones when it starts again.");
    }

    /// <summary>It says how it is, to whoever asks on this computer.</summary>
    private static bool Answers(PageSettings page)
    {
        var address = page.Listen.Equals(IPAddress.Any) ? IPAddress.Loopback
            : page.Listen.Equals(IPAddress.IPv6Any) ? IPAddress.IPv6Loopback
            : page.Listen;
        using var http = new HttpClient(new SocketsHttpHandler { UseProxy = false, AllowAutoRedirect = false }) { Timeout = Patience };
        using var request = new HttpRequestMessage(HttpMethod.Get, new UriBuilder("http", address.ToString(), page.Port, "health").Uri);
        request.Headers.TryAddWithoutValidation(UserAgent.Header, UserAgent.Product);
        try
        {
            using var answer = http.Send(request, HttpCompletionOption.ResponseHeadersRead);
            // Well or not, it is the page that says so.
            return answer.StatusCode is HttpStatusCode.OK or HttpStatusCode.ServiceUnavailable;
        }
        catch (Exception failure) when (failure is HttpRequestException or OperationCanceledException)
        {
            return false;
        }
    }
}
