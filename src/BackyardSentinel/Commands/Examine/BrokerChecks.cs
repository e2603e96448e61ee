using System.Net;
using BackyardSentinel.Contract;
using BackyardSentinel.Mqtt;
using BackyardSentinel.Wording;

namespace BackyardSentinel.Commands.Examine;

/// <summary>Checks of the broker and of what comes from it.</summary>
internal static class BrokerChecks
{
    /// <summary>A certificate that expires sooner is told (assumed).</summary>
    private static readonly TimeSpan CertificateNearItsEnd = TimeSpan.FromDays(14);

    private const int MostNamed = 3;

    public static Verdict Name(Scene scene) =>
        scene.Broker.NameFault is { } fault
            ? Verdict.Wrong(fault, $"Is host spelt right in the garden file, and is this computer on the network?")
            : Verdict.Fine($"The broker {new Name(scene.Garden.Broker.Host)} has an address.");

    public static Verdict Port(Scene scene) =>
        scene.Broker.NameFault is not null ? NotReached()
        : scene.Broker.PortFault is { } fault
            ? Verdict.Wrong(
                fault,
                scene.Garden.Broker.Embedded
                    ? (Sentence)$"The broker is inside the service: start that."
                    : $"Start the broker, and look at host and port.")
        : Verdict.Fine(
            $"Something answers at {new Name(FormattableString.Invariant($"{scene.Garden.Broker.Host}:{scene.Garden.Broker.Port}"))}.");

    public static Verdict Login(Scene scene) =>
        scene.Broker is { NameFault: null, PortFault: null }
            ? scene.Broker.LoginFault is { } fault
                ? Verdict.Wrong(fault, $"See docs/mqtt.md.")
                : Verdict.Fine($"The broker lets the program in.")
            : NotReached();

    public static Verdict Encryption(Scene scene)
    {
        var broker = scene.Garden.Broker;
        var isHere = broker.Embedded
            || broker.Host is "localhost"
            || (IPAddress.TryParse(broker.Host, out var address) && IPAddress.IsLoopback(address));
        if (broker.Tls && scene.Broker.CertificateUntil is { } until && until - scene.Now < CertificateNearItsEnd)
            return Verdict.Look(
                $"The broker's certificate, or one above it, expires on "
                    + $"{LocalTime.Of(until, scene.Garden.Sites[0].Zone, TimeForm.Written)}.",
                $"Renew it before: once it has expired nothing is heard of the sensors.");
        if (broker.Tls && OwnCertificateUntil(broker) is { } end && end - scene.Now < CertificateNearItsEnd)
            return (end < scene.Now ? (Func<Sentence, Sentence, Verdict>)Verdict.Wrong : Verdict.Look)(
                $"Our own certificate for the broker is valid until {LocalTime.Of(end, scene.Garden.Sites[0].Zone, TimeForm.Written)}.",
                $"Have it renewed: after that the broker does not let the service in.");
        if (broker.Tls)
            return scene.Broker.IsIn
                ? Verdict.Fine($"The connection is encrypted, and the broker's certificate is signed, in time and made out for its name.")
                : Verdict.Unknown($"The broker's certificate is judged once it can be reached.");
        if (broker.EmbeddedInNetwork)
            return Verdict.Look(
                $"The embedded broker is open to the home network, and sensors send it the password unencrypted.",
                $"Use a password that opens nothing else, or a broker of its own with a certificate; see docs/mqtt.md.");
        return isHere ? Verdict.Fine($"The connection is not encrypted, and does not leave this computer.")
            : broker.Password is not null
                ? Verdict.Look(
                    $"The password goes over the network unencrypted.", $"Give the broker a certificate and set tls: true; see "
                        + $"docs/mqtt.md.")
                : Verdict.Fine($"The connection is not encrypted, and holds no password.");
    }

    public static Verdict Keeps(Scene scene) =>
        scene.Garden.Broker.Embedded
            ? Verdict.Look(
                $"The broker inside the program keeps nothing while the program is off.",
                $"Use a broker of its own, such as mosquitto, for sensors that must not be missed.")
            : Verdict.Unknown(
                $"What the broker keeps for us while we are off, and how much of it, no broker tells.",
                $"For mosquitto write: persistence true, autosave_interval 60, max_queued_messages 100000.");

    public static Verdict Dropped(Scene scene) =>
        !scene.Broker.IsIn ? NotReached()
        : scene.Broker.Dropped switch
        {
            null => Verdict.Unknown($"The broker does not tell how many messages it has dropped."),
            0 => Verdict.Fine($"The broker has dropped no message since it started."),
            var count => Verdict.Look(
                $"The broker has dropped {(long)count} messages since it started, for this service or another: a queue was full.",
                $"For mosquitto write: max_queued_messages 100000. Restart it; what was dropped is lost."),
        };

    public static Verdict ClientId(Scene scene) =>
        scene.Garden.Broker.ClientId is { } id
            ? Verdict.Unknown(
                $"The client id {new Name(id)} is told in the garden file; whether another program uses it too is not to be seen from "
                    + $"here.",
                $"Leave client_id out: then it differs from computer to computer.")
            : Verdict.Fine($"The client id differs from computer to computer, so no second copy throws this one out.");

    public static Verdict MayRead(Scene scene) =>
        !scene.Broker.IsIn ? NotReached()
        : scene.Broker.Refused.Count > 0 ? Verdict.Wrong(
            scene.Broker.Refused[0], $"Let this user read the sensors' topics in the broker's access list; see docs/mqtt.md.")
        : Unheard(scene) is { Count: > 0 } unheard ? Verdict.Unknown(
            $"The broker takes all subscriptions, and of {Several(unheard)} nothing has come yet.",
            $"mosquitto takes each subscription and passes on only what its access list lets this user read: see docs/mqtt.md.")
        : Verdict.Fine($"The broker lets this user read all topics of the garden file.");

    private static Sentence Several(List<string> topics) => topics.Count > MostNamed
        ? $"{Sentence.Names(topics.Take(MostNamed))} (and {topics.Count - MostNamed} more)"
        : Sentence.Names(topics);

    /// <summary>Topics of which nothing was heard now, and nothing is stored.</summary>
    private static List<string> Unheard(Scene scene) =>
        [
            .. scene.Garden.Series
                .Where(series => !scene.Broker.Topics.ContainsKey(series.Topic) && scene.LastOf(series.Name) is null)
                .Select(series => series.Topic)
                .Distinct(),
        ];

    public static Verdict MayWrite(Scene scene) =>
        !scene.Broker.IsIn ? NotReached()
        : scene.Broker.State is not null ? Verdict.Fine(
            $"What the service publishes below {new Name(scene.Garden.Broker.TopicRoot)} is at the broker.")
        : Verdict.Unknown(
            $"Nothing of ours can be read at the broker, and to try it this command would have to write.",
            $"Let the user read and write {new Name(scene.Garden.Broker.TopicRoot + "/#")} and, unless homie: false, homie/5/#; "
                + $"the service's log says what is refused.");

    public static Verdict Acknowledged(Scene scene) =>
        Of(scene, heard => heard.LeastQos == 0, topics => $"{topics} sends without asking for an acknowledgement (QoS 0): "
            + $"what it sends while the broker restarts is lost.",
            $"Set QoS 1 in the sensor's settings, where it has them.", $"All that was heard asks for an acknowledgement.");

    public static Verdict KeptOnly(Scene scene) =>
        Of(scene, heard => heard is { Live: 0, Kept: true } && !IsRecent(scene, heard), topics => $"Of {topics} only the broker's kept "
            + $"copy came, "
            + $"whose age is not known; it is not counted.",
            $"Listen longer (--for 10m), and see that the sensor still sends.", $"What was heard came live, or is in the store as well.");

    private static bool IsRecent(Scene scene, BrokerLook.Heard heard) =>
        scene.Garden.Series.Any(
            series => ReferenceEquals(scene.Broker.Topics.GetValueOrDefault(series.Topic), heard) && scene.LastOf(series.Name) is not null);

    private static Verdict Of(Scene scene, Func<BrokerLook.Heard, bool> isSo, Func<Sentence, Sentence> says, Sentence remedy, Sentence fine)
    {
        if (!scene.Broker.IsIn)
            return NotReached();
        List<(string Topic, BrokerLook.Heard Heard)> heard =
        [
            .. scene.Garden.Series.Select(series => series.Topic).Distinct()
                .Where(scene.Broker.Topics.ContainsKey)
                .Select(topic => (topic, scene.Broker.Topics[topic])),
        ];
        if (heard.Count == 0)
            return Verdict.Unknown($"No sensor spoke while this command listened.", $"Listen longer: --for 10m.");
        List<string> so = [.. heard.Where(one => isSo(one.Heard)).Select(one => one.Topic)];
        return so.Count > 0
            ? Verdict.Look(
                says(so.Count == 1 ? Sentence.Of(so[0]) : $"{new Name(so[0])} (and {so.Count - 1} more)"), remedy)
            : Verdict.Fine(fine);
    }

    /// <summary>When the certificate expires by which we show who we are, UTC; <c>null</c>: there is none, or it cannot be had.</summary>
    private static DateTimeOffset? OwnCertificateUntil(BrokerOptions broker)
    {
        try
        {
            using var own = OwnCertificate.Of(broker);
            return own is null ? null : new DateTimeOffset(own.NotAfter.ToUniversalTime());
        }
        catch (LinkException)
        {
            return null; // Told where it is used.
        }
    }

    private static Verdict NotReached() => new(Finding.Unknown, $"The broker cannot be reached, so this is not known.");
}
