using System.Globalization;
using BackyardSentinel.Commands.Listen;
using BackyardSentinel.Configuration;
using BackyardSentinel.Configuration.Reading;
using BackyardSentinel.Garden;
using BackyardSentinel.Mqtt;
using BackyardSentinel.Proposing;
using BackyardSentinel.Weather;

namespace BackyardSentinel.Commands.SetUp;

/// <summary>Asks for the broker, listens to it, and asks of each sensor heard whether it shall be used.</summary>
/// <param name="dialogue">The questions and answers.</param>
/// <param name="error">Where it is said that is listened.</param>
/// <param name="time">The clock.</param>
/// <param name="keep">Keeps a secret in a file beside the garden file.</param>
internal sealed class SensorQuestions(Dialogue dialogue, TextWriter error, TimeProvider time, Action<string, string> keep)
{
    private const string Inside = "inside";
    private const int MostLeftOut = 6;

    /// <summary>Asks, and gives the plan with broker and series.</summary>
    public async Task<GardenPlan> AskAsync(GardenPlan plan, CancellationToken ct)
    {
        var (usual, asked) = ("127.0.0.1:1883", plan);
        while (true)
        {
            asked = AskBroker(plan, usual);
            if (asked.Broker.Embedded)
                return WithMissing(asked);
            try
            {
                return WithMissing(await ListenAsync(asked, ct).ConfigureAwait(false));
            }
            catch (LinkException failure)
            {
                dialogue.Say($"  {failure.Message}");
                if (!dialogue.Ask("Try it again, or another broker?", false))
                    return WithMissing(asked);
                usual = string.Create(CultureInfo.InvariantCulture, $"{asked.Broker.Host}:{asked.Broker.Port}");
            }
        }
    }

    private GardenPlan AskBroker(GardenPlan plan, string usual)
    {
        dialogue.Say("Sensors send to an MQTT broker. The one inside the program is for trying out: only this computer reaches it.");
        var broker = dialogue.Ask($"The broker, as HOST or HOST:PORT, or {Inside}?", usual, answer =>
            answer == Inside ? new Dialogue.Reading<BrokerOptions>(new BrokerOptions { Embedded = true })
            : BrokerAddress.Read(answer, new BrokerOptions(), out var fault) is { } read ? new Dialogue.Reading<BrokerOptions>(read)
            : new Dialogue.Reading<BrokerOptions>(new BrokerOptions(), fault));
        if (broker.Embedded)
            return plan with { Broker = broker };
        broker = broker with { Tls = dialogue.Ask("Does it encrypt the connection (TLS)?", broker.Port == 8883) };
        if (broker.Tls)
        {
            var authority = dialogue.AskText("The certificate of its authority (a PEM file), or none?", "none", NoFile);
            broker = broker with { CaFile = authority is null ? null : Path.GetFullPath(authority) };
            broker = AskOwnCertificate(broker);
        }

        broker = broker with { Username = dialogue.AskText("Your user name there, or none?", "none") };
        var password = broker.Username is null
            ? null
            : dialogue.AskText("The password, or none? It is kept in a file of its own.", "none", isSecret: true);
        if (password is null)
            return plan with { Broker = broker };
        keep(plan.PasswordFile, password);
        return plan with { Broker = broker with { Password = Guards.KeptValue.Parse(password) }, HasPassword = true };
    }

    private BrokerOptions AskOwnCertificate(BrokerOptions broker)
    {
        var own = dialogue.AskText("Your own certificate, if the broker asks for one (a PEM file), or none?", "none", NoFile);
        if (own is null)
            return broker;
        var usual = Path.ChangeExtension(own, ".key");
        var key = dialogue.AskText("The private key to it (a PEM file)?", usual, NoFile) ?? usual;
        return broker with { CertificateFile = Path.GetFullPath(own), KeyFile = Path.GetFullPath(key) };
    }

    private async Task<GardenPlan> ListenAsync(GardenPlan plan, CancellationToken ct)
    {
        var hearing = new HeardMessages(new OwnTopics(plan.Broker, []));
        var length = dialogue.Ask("How long shall I listen? Sensors that send more rarely are not heard.", "60s", answer =>
            DurationText.Parse(answer) is { } span && span >= TimeSpan.FromSeconds(1) && span <= TimeSpan.FromHours(24)
                ? new Dialogue.Reading<TimeSpan>(span)
                : new Dialogue.Reading<TimeSpan>(default, $"\"{answer}\" is not a time from 1s to 24h, such as 90s or 10m"));
        var visitor = plan.Broker with { ClientId = "set-up-" + Guid.NewGuid().ToString("N")[..8] };
        while (true)
        {
            await ListenCommand.ListenAsync(visitor, "#", length, hearing, time, error, ct).ConfigureAwait(false);
            var heard = ListenResult.Of(Trial(plan), hearing, plan.Broker.Host, length);
            dialogue.Say(string.Create(CultureInfo.InvariantCulture, $"Heard {heard.Messages} messages on {heard.Topics} topics."));
            var missing = Missing(heard.Proposed.Select(one => one.Guess.Quantity)).ToList();
            if (missing.Count > 0)
                dialogue.Say($"  Nothing was heard that looks like {string.Join(" or ", missing.Select(one => one.Name()))}.");
            SayLeftOut(heard);
            if (missing.Count > 0 && dialogue.Ask("Listen once more?", false))
                continue;
            var chosen = Chosen(heard.Proposed);
            if (chosen.All(one => QuantityOf(one) != Quantity.Rain))
                dialogue.Say("  No rain so far. A gauge that sends only when it tips can be added to the garden file later.");
            return plan with { Series = chosen };
        }
    }

    /// <summary>What sends numbers and is not proposed may be a sensor all the same, a rain counter above all.</summary>
    private void SayLeftOut(ListenResult heard)
    {
        var numbers = heard.Others.Where(one => one.Last is not null).ToList();
        foreach (var one in numbers.Take(MostLeftOut))
            dialogue.Say(
                Storage.TerminalText.Plain(
                    $"  Left out: {ListenText.Where(one.Topic, one.Path)} {ListenText.Figure(one.Last!.Value)}: {one.Reason}."));
        if (numbers.Count > MostLeftOut)
            dialogue.Say(
                string.Create(CultureInfo.InvariantCulture, $"  {numbers.Count - MostLeftOut} more are left out; 'listen' shows them."));
        if (numbers.Count > 0)
            dialogue.Say("  If one of these is a sensor of yours, add it below 'series' of the garden file; see docs/garden-file.md.");
    }

    private List<SeriesBlock> Chosen(IReadOnlyList<SeriesProposal> proposed)
    {
        List<SeriesProposal> chosen = [];
        foreach (var one in proposed.OrderBy(one => one.Guess.Quantity).ThenByDescending(one => one.Guess.Sureness))
        {
            var (heard, guess) = (one.Heard, one.Guess);
            var every = heard.Every is { } gap ? $", about every {ListenText.Span(gap)}" : "";
            var unit = heard.Seen.IsWord ? "" : $" in {SeriesBlock.UnitWord(guess)}";
            var where = heard.Seen.Path is { } path ? $"{heard.Topic} {path}" : heard.Topic;
            dialogue.Say(
                Storage.TerminalText.Plain($"{where} looks like {guess.Quantity.Name()}{unit}{every}; it gives {one.GivesInWords}."));
            foreach (var doubt in one.Doubts)
                dialogue.Say(Storage.TerminalText.Plain($"  ? {doubt}"));
            // A second sensor of a quantity stands in for the first.
            if (dialogue.Ask("Use it?", guess.Sureness != Sureness.Guess))
                chosen.Add(one);
        }

        return [.. chosen.Select(one => one.Block)];
    }

    /// <summary>A site needs a temperature and a humidity: what has not been heard is asked for.</summary>
    private GardenPlan WithMissing(GardenPlan plan)
    {
        var missing = Missing(plan.Series.Select(one => QuantityOf(one))).ToList();
        List<SeriesBlock> named = [];
        foreach (var quantity in missing)
        {
            var usual = $"garden/{quantity.Word()}";
            var topic = dialogue.AskText($"The topic to which the {quantity.Name()} sensor will send?", usual, NoTopic) ?? usual;
            named.Add(GardenPlan.Named(quantity, topic, dialogue.AskText(
                $"Where is the {quantity.Name()} in its message, such as air.value; none if the message is the number itself?", "none")));
        }

        return plan with { Series = [.. plan.Series, .. named] };
    }

    private static IEnumerable<Quantity> Missing(IEnumerable<Quantity> there) =>
        new[] { Quantity.Temperature, Quantity.Humidity }.Except(there);

    private static Quantity QuantityOf(SeriesBlock block) =>
        Enum.GetValues<Quantity>().First(one => one.Word() == block.Keys.First(key => key.Key == "quantity").Value);

    /// <summary>The garden without its sensors, so that times that tell no zone are taken for the garden's.</summary>
    private static GardenFile? Trial(GardenPlan plan)
    {
        var never = Missing([]).Select(one => GardenPlan.Named(one, $"set-up/{one.Word()}", null));
        return GardenFileReader.ReadText("trial", (plan with { Series = [.. never] }).Text()).Garden;
    }

    private static string? NoFile(string path) => File.Exists(path) ? null : $"There is no file {path}";

    private static string? NoTopic(string topic) =>
        topic.AsSpan().ContainsAny('#', '+') ? "A topic without + and # is needed: each series has one of its own" : null;
}
