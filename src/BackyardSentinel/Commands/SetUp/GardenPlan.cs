using System.Globalization;
using BackyardSentinel.Delivery;
using BackyardSentinel.Garden;
using BackyardSentinel.Mqtt;
using BackyardSentinel.Proposing;

namespace BackyardSentinel.Commands.SetUp;

/// <summary>What was answered, and the garden file that says it.</summary>
internal sealed record GardenPlan
{
    /// <summary>A planting: its id, its name, its kind, how many trees, and whether they had curl last spring.</summary>
    public sealed record Planting(string Id, string Name, TreeKind Kind, int Trees, bool HadCurl);

    public required string Name { get; init; }

    /// <summary>Degrees north and east; <c>null</c>: not told.</summary>
    public (double Latitude, double Longitude)? Place { get; init; }

    public required string Zone { get; init; }

    public required string Units { get; init; }

    /// <summary>Of messages, page and report.</summary>
    public required string Language { get; init; }

    public required IReadOnlyList<Planting> Plantings { get; init; }

    public BrokerOptions Broker { get; init; } = new();

    /// <summary>The broker's password lies in <see cref="PasswordFile"/>.</summary>
    public bool HasPassword { get; init; }

    public IReadOnlyList<SeriesBlock> Series { get; init; } = [];

    /// <summary>Messages go to a webhook whose address lies in <see cref="AddressFile"/>; otherwise to a topic.</summary>
    public bool HasAddress { get; init; }

    /// <summary>What that webhook takes.</summary>
    public WebhookContent Content { get; init; }

    /// <summary>The webhook lies in the home network.</summary>
    public bool AddressIsPrivate { get; init; }

    /// <summary>The page is for this computer alone.</summary>
    public bool PageIsLocal { get; init; }

    /// <summary>The site's id, the only one.</summary>
    public const string Site = "garden";

    /// <summary>How the files of secrets begin, beside the garden file: gardens in one folder have their own.</summary>
    public string Secrets { get; init; } = "secrets/";

    /// <summary>Where the broker's password lies.</summary>
    public string PasswordFile => Secrets + "broker-password";

    /// <summary>Where the webhook's address lies.</summary>
    public string AddressFile => Secrets + "phone-address";

    /// <summary>Series that no sensor was found for, so that a file can be tried before there are any.</summary>
    public static SeriesBlock Named(Quantity quantity, string topic, string? path) =>
        new([
            ("quantity", quantity.Word()),
            ("topic", SeriesBlock.Scalar(topic)),
            .. path is null ? Array.Empty<(string, string)>() : [("path", SeriesBlock.Scalar(path))],
        ]);

    /// <summary>The garden file.</summary>
    public string Text()
    {
        var lines = new List<string>
        {
            "# Written by 'backyard-sentinel set-up'. Every key is explained in docs/garden-file.md; after a change run",
            "# 'backyard-sentinel check'.",
            $"name: {SeriesBlock.Scalar(Name)}",
            $"units: {Units}",
            $"language: {Language}",
            "",
            "broker:",
        };
        lines.AddRange(BrokerLines().Select(line => "  " + line));
        lines.AddRange(["", "sites:", $"  - id: {Site}", $"    zone: {SeriesBlock.Scalar(Zone)}"]);
        if (Place is var (latitude, longitude))
            lines.AddRange([Line("    latitude", latitude), Line("    longitude", longitude)]);
        lines.AddRange(["", "    series:"]);
        lines.AddRange(Series.SelectMany(one => one.Lines).Select(line => "      " + line));
        lines.AddRange(["", "    plantings:"]);
        lines.AddRange(Plantings.SelectMany(Lines).Select(line => "      " + line));
        lines.AddRange(["", "alerts:", "  quiet_from: \"22:00\"", "  quiet_to: \"07:00\"", "  send_to:"]);
        lines.AddRange(
            HasAddress
                ? ["    - id: phone", "      kind: webhook", $"      url: file:{AddressFile}", $"      content: {Content.Word()}"]
                : ["    - id: hub", "      kind: topic"]);
        if (AddressIsPrivate)
            lines.Add("      allow_private: true");
        lines.AddRange(["", "page:", $"  listen: {(PageIsLocal ? "127.0.0.1" : "0.0.0.0")}"]);
        return string.Concat(lines.Select(line => line + "\n"));
    }

    private IEnumerable<string> BrokerLines()
    {
        if (Broker.Embedded)
            yield return "embedded: true";
        else
            yield return $"host: {SeriesBlock.Scalar(Broker.Host)}";
        yield return string.Create(CultureInfo.InvariantCulture, $"port: {Broker.Port}");
        if (Broker.Username is { } user)
            yield return $"username: {SeriesBlock.Scalar(user)}";
        if (HasPassword)
            yield return $"password: file:{PasswordFile}";
        if (Broker.Tls)
            yield return "tls: true";
        if (Broker.CaFile is { } authority)
            yield return $"ca_file: {SeriesBlock.Scalar(authority)}";
        if (Broker is { CertificateFile: { } own, KeyFile: { } key })
        {
            yield return $"certificate_file: {SeriesBlock.Scalar(own)}";
            yield return $"key_file: {SeriesBlock.Scalar(key)}";
        }
    }

    private static IEnumerable<string> Lines(Planting one) =>
    [
        $"- id: {one.Id}",
        $"  name: {SeriesBlock.Scalar(one.Name)}",
        $"  kind: {one.Kind.Word()}",
        string.Create(CultureInfo.InvariantCulture, $"  trees: {one.Trees}"),
        .. one.HadCurl ? ["  had_curl_last_spring: true"] : Array.Empty<string>(),
    ];

    private static string Line(string key, double value) => string.Create(CultureInfo.InvariantCulture, $"{key}: {value:0.00}");
}
