using System.Net;
using BackyardSentinel.Configuration.Keys;
using BackyardSentinel.Configuration.Reading;
using BackyardSentinel.Configuration.Yaml;

namespace BackyardSentinel.Configuration;

/// <summary>Reads the part <c>page</c>.</summary>
internal static class PageReader
{
    public static PageSettings? Read(YamlMapping? map, ProblemList problems)
    {
        if (map is null)
            return null;
        SectionReader keys = new(map, PageKeys.Page, problems);
        if (!IPAddress.TryParse(keys.Text("listen"), out var listen))
            problems.Error(
                keys.Place("listen"), $"'listen' is no IP address: {ProblemList.Quote(keys.Text("listen")!)}", keys.Range("listen"));
        Uri? address = null;
        if (keys.Text("address") is { } written
            && (
                !Uri.TryCreate(written, UriKind.Absolute, out address)
                    || address.AbsolutePath != "/"
                    || (address.UserInfo + address.Query + address.Fragment).Length > 0
                    || address.Scheme is not ("http" or "https")))
            problems.Error(
                keys.Place("address"), $"'address' is no address of a page: {ProblemList.Quote(written)}", keys.Range("address"));
        return new PageSettings { Listen = listen ?? IPAddress.Loopback, Port = keys.Whole("port"), Address = address };
    }
}
