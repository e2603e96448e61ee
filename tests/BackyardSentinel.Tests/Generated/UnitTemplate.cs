namespace BackyardSentinel.Tests.Generated;

/// <summary>deploy/backyard-sentinel@.service, the unit for several garden files on one computer, made from that for one.</summary>
internal static class UnitTemplate
{
    public static GeneratedFile File { get; } = new("deploy/backyard-sentinel@.service", _ => Make());

    private static string Make()
    {
        var unit = System.IO.File.ReadAllText(Checkout.Path("deploy", "backyard-sentinel.service"));
        foreach (var (one, several) in new[]
            {
                ("Description=Backyard Sentinel, garden weather service", "Description=Backyard Sentinel, garden weather service of %i"),
                (
                    "# Until there is a garden there is nothing to watch; 'backyard-sentinel set-up' writes one.",
                    "# One process for each garden file /etc/backyard-sentinel/NAME.yaml: systemctl enable --now backyard-sentinel@NAME"),
                ("/etc/backyard-sentinel/garden.yaml", "/etc/backyard-sentinel/%i.yaml"),
                ("/run/credentials/backyard-sentinel.service/", "/run/credentials/backyard-sentinel@NAME.service/"),
                ("starts at /var/lib/backyard-sentinel.", "starts at /var/lib/backyard-sentinel/NAME."),
                ("WorkingDirectory=/var/lib/backyard-sentinel\n", "WorkingDirectory=/var/lib/backyard-sentinel/%i\n"),
                ("StateDirectory=backyard-sentinel\n", "StateDirectory=backyard-sentinel/%i\n"),
            })
        {
            if (!unit.Contains(one, StringComparison.Ordinal))
                throw new InvalidOperationException($"deploy/backyard-sentinel.service has no '{one}' for the template to change.");
            unit = unit.Replace(one, several, StringComparison.Ordinal);
        }

        return "# Made from backyard-sentinel.service by: " + GeneratedFile.Command + "\n" + unit;
    }
}
