namespace BackyardSentinel.Web;

/// <summary>Requests that only look.</summary>
internal static class Looking
{
    private static readonly string[] Methods = [HttpMethods.Get, HttpMethods.Head];

    /// <summary>Maps what is to be seen at a path. HEAD is answered like GET (RFC 9110, 9.3.2); the server leaves the body out.</summary>
    /// <param name="app">Where.</param>
    /// <param name="path">The path.</param>
    /// <param name="show">Shows it.</param>
    public static void MapLook(this IEndpointRouteBuilder app, string path, RequestDelegate show) => app.MapMethods(path, Methods, show);
}
