using BackyardSentinel.Delivery;
using BackyardSentinel.Forecasts;
using BackyardSentinel.Guards;

namespace BackyardSentinel.Network;

/// <summary>Who is talked with.</summary>
public enum LineEnd
{
    Broker,
    Webhook,
    Forecast,
}

/// <summary>One trial: a fault begins, lasts and ends, while there is something to tell each minute.</summary>
/// <param name="Broken">It was not right when the fault ended.</param>
/// <param name="Healed">How long it took from the end of the fault until all was right, <see cref="Longest"/> at most.</param>
/// <param name="Warnings">What was told of the trouble.</param>
/// <param name="WellAgain">How often it was told that it is well again.</param>
/// <param name="Repeated">What came more than once at the other end.</param>
internal sealed record LineCell(bool Broken, TimeSpan Healed, IReadOnlyList<string> Warnings, int WellAgain, int Repeated)
{
    public static readonly TimeSpan Longest = TimeSpan.FromMinutes(45);

    /// <summary>Right again within this by the computer's clock.</summary>
    public static readonly TimeSpan Bound = TimeSpan.FromMinutes(2);

    /// <summary>
    /// The same in made time, of which on a busy machine some passes while sockets and the system's resolver are at work: what
    /// waits for long, as some once did for half an hour, still shows.
    /// </summary>
    public static readonly TimeSpan MadeBound = TimeSpan.FromMinutes(4);

    /// <summary>In a line, for docs/reliability.md.</summary>
    public override string ToString() =>
        string.Create(CultureInfo.InvariantCulture, $"{(Broken ? "stopped" : "went on")}, right {Healed.TotalSeconds:0} s after, ")
        + string.Create(CultureInfo.InvariantCulture, $"told {Warnings.Count} and {WellAgain}, again {Repeated}");

    /// <summary>Tries a fault of the line to one of them.</summary>
    /// <param name="end">To whom.</param>
    /// <param name="fault">The fault.</param>
    /// <param name="time">The time that passes.</param>
    /// <param name="minutes">How long the fault lasts.</param>
    /// <param name="name">The name that has the fault instead of the line; <c>null</c>: the line has it.</param>
    public static async Task<LineCell> RunAsync(LineEnd end, LineFault fault, CellTime time, int minutes, NameServer.Name? name = null)
    {
        var host = name?.Host ?? "localhost";
        var encrypted = fault is LineFault.CertificateExpired or LineFault.CertificateOfAnother;
        using var authority = encrypted ? new TestAuthority() : null;
        var handler = PublicAddress.Handler(allowPrivate: true);
        if (authority is not null)
            handler.SslOptions.CertificateChainPolicy = authority.Trust;
        switch (end)
        {
            case LineEnd.Broker:
                {
                    var broker = await EmbeddedBroker.StartAsync();
                    using var line = new BadLine(broker.Port, time.Time, authority);
                    var file = Path.GetTempFileName();
                    if (authority is not null)
                        await File.WriteAllTextAsync(file, authority.Certificate.ExportCertificatePem());
                    var options = new BrokerOptions
                    {
                        Host = host,
                        Port = line.Port,
                        ClientId = "link-under-test",
                        Tls = encrypted,
                        CaFile = encrypted ? file : null,
                    };
                    var cell = await TryAsync(await BrokerParty.OfAsync(broker, options, time), line, name, fault, time, minutes);
                    File.Delete(file);
                    return cell;
                }

            case LineEnd.Webhook:
                {
                    var peer = await HttpPeer.StartAsync();
                    using var line = new BadLine(peer.Url.Port, time.Time, authority);
                    var party = new WebhookParty(peer, Url(line), new BusyHandler(handler), time);
                    return await TryAsync(party, line, name, fault, time, minutes);
                }

            case LineEnd.Forecast:
                {
                    var server = await ForecastServer.StartAsync(ForecastServer.Body(ForecastParty.Days(time.Time.GetUtcNow())));
                    using var line = new BadLine(server.Url.Port, time.Time, authority);
                    var party = new ForecastParty(server, Url(line), new BusyHandler(handler), time);
                    return await TryAsync(party, line, name, fault, time, minutes);
                }

            default:
                throw new ArgumentOutOfRangeException(nameof(end));
        }

        Uri Url(BadLine line) => new($"{(encrypted ? "https" : "http")}://{host}:{line.Port}/days");
    }

    private static async Task<LineCell> TryAsync(
        LineParty party, BadLine line, NameServer.Name? name, LineFault fault, CellTime time, int minutes)
    {
        IFaulty bad = name is null ? line : name;
        time.Line = bad;
        await using (party)
        {
            await party.StartAsync();
            // On a busy machine the first try may come to nothing, and the next waits for time to pass.
            if (party is not ForecastParty)
                Assert.True(await time.PassAsync(Longest, () => party.IsRight) < Longest, "all is right before the fault");
            var before = party.Log.Lines.Count;
            bad.Set(fault);
            if (name is not null)
                line.BreakOff(); // Whoever is connected needs no name.
            for (var minute = 1; minute <= minutes; minute++)
            {
                await party.SendAsync(minute);
                await time.PassAsync(TimeSpan.FromMinutes(1), () => false, step: 10);
            }

            var broken = !party.IsRight;
            bad.Set(LineFault.None);
            var healed = await time.PassAsync(Longest, () => party.IsRight);
            // What is told of it comes within the same moment.
            await time.PassAsync(TimeSpan.FromSeconds(5), () => false);
            var said = party.Log.Lines.Skip(before).ToList();
            return new LineCell(
                broken,
                healed,
                [.. said.Where(words => !words.Contains(party.WellAgain, StringComparison.Ordinal))],
                said.Count(words => words.Contains(party.WellAgain, StringComparison.Ordinal)),
                party.Repeated);
        }
    }
}
