using BackyardSentinel.Configuration.Keys;
using BackyardSentinel.Configuration.Reading;
using BackyardSentinel.Configuration.Yaml;
using BackyardSentinel.Mqtt;
using BackyardSentinel.Wording;

namespace BackyardSentinel.Configuration;

/// <summary>Reads the part <c>broker</c>.</summary>
internal static class BrokerReader
{
    public static BrokerOptions Read(YamlMapping? map, ProblemList problems)
    {
        if (map is null)
            return new BrokerOptions();
        SectionReader keys = new(map, BrokerKeys.Broker, problems);
        var broker = new BrokerOptions
        {
            Host = Host(keys, problems),
            Port = keys.Whole("port"),
            Embedded = keys.Flag("embedded"),
            Username = keys.Text("username"),
            Password = SecretKeys.Reference(keys, "password", $"password", problems),
            Tls = keys.Flag("tls"),
            CaFile = keys.Text("ca_file") is { } authority ? problems.Beside(authority) : null,
            CertificateFile = keys.Text("certificate_file") is { } own ? problems.Beside(own) : null,
            KeyFile = keys.Text("key_file") is { } key ? problems.Beside(key) : null,
            EmbeddedInNetwork = keys.Word("listen") == BrokerKeys.HomeNetwork,
            ClientId = ClientId(keys, problems),
            TopicRoot = TopicRoot(keys, problems),
            Homie = keys.Flag("homie"),
        };
        CheckTogether(keys, broker, problems);
        return broker;
    }

    private static string Host(SectionReader keys, ProblemList problems)
    {
        var host = keys.Text("host")!;
        var quoted = ProblemList.Quote(host);
        Sentence? fault = host.Contains("://", StringComparison.Ordinal)
            ? (Sentence)$"'host' holds a scheme; encryption is switched by 'tls': {quoted}"
            : host.Count(c => c == ':') == 1 ? (Sentence)$"'host' holds a port, which has its own key 'port': {quoted}"
            : host.Any(c => char.IsWhiteSpace(c) || c is '/' or '@') ? (Sentence)$"'host' holds a character no host name has: {quoted}"
            : null;
        if (fault is not null)
            problems.Error(
                keys.Place("host"),
                fault,
                $"the name or address alone, such as 192.168.1.20");
        return host;
    }

    private static string? ClientId(SectionReader keys, ProblemList problems)
    {
        var id = keys.Text("client_id");
        if (id is not null && id.Any(char.IsWhiteSpace))
            problems.Error(
                keys.Place("client_id"),
                $"'client_id' holds a space: {ProblemList.Quote(id)}",
                BrokerKeys.Broker["client_id"].Range);
        return id;
    }

    private static string TopicRoot(SectionReader keys, ProblemList problems)
    {
        var topic = keys.Text("topic_root")!;
        if (TopicText.BaseFault(topic) is { } fault)
            problems.Error(
                keys.Place("topic_root"),
                $"'topic_root' cannot be {ProblemList.Quote(topic)}: {fault}",
                BrokerKeys.Broker["topic_root"].Range);
        return topic;
    }

    private static void CheckTogether(SectionReader keys, BrokerOptions broker, ProblemList problems)
    {
        if (keys.Has("password") && !keys.Has("username"))
            problems.Error(
                keys.Place("password"),
                $"there is a 'password' but no 'username'; brokers refuse one without the other",
                $"both keys or none");
        if (broker.Embedded)
            CheckEmbedded(keys, broker, problems);
        else if (keys.Has("listen"))
            problems.Note(
                keys.Place("listen"),
                $"'listen' is for the broker inside the program, and this one runs elsewhere; it is not used");
        CheckEncryption(keys, broker, problems);
    }

    private static void CheckEmbedded(SectionReader keys, BrokerOptions broker, ProblemList problems)
    {
        if (broker.Tls)
            problems.Error(
                keys.Place("tls"),
                $"the embedded broker speaks without encryption, so 'tls' cannot be true beside 'embedded: true'",
                $"tls: false, or embedded: false and the host of your own broker");
        if (broker.Host is not ("127.0.0.1" or "localhost"))
            problems.Error(
                keys.Place("host"),
                $"the embedded broker runs on this computer, but 'host' names {ProblemList.Quote(broker.Host)}",
                $"no 'host' beside 'embedded: true', or embedded: false to use that broker");
        if (keys.Has("username") != keys.Has("password") && keys.Has("username"))
            problems.Error(
                keys.Place("username"),
                $"there is a 'username' but no 'password'; the embedded broker would let in whoever knows the name",
                $"both keys or none");
        else if (broker.EmbeddedInNetwork && !keys.Has("username"))
            problems.Error(
                keys.Place("listen"),
                $"the embedded broker would be open to the whole home network without a login: anyone in it could send it weather",
                $"'username' and 'password' beside it, or no 'listen'");
    }

    private static void CheckEncryption(SectionReader keys, BrokerOptions broker, ProblemList problems)
    {
        var isOff = !broker.Tls && keys.Node("tls") is not YamlScalar { Value: not "false" };
        if (keys.Has("certificate_file") != keys.Has("key_file"))
        {
            var (there, missing) = keys.Has("key_file") ? ("key_file", "certificate_file") : ("certificate_file", "key_file");
            problems.Error(
                keys.Place(there),
                $"there is a '{new Name(there)}' but no '{new Name(missing)}'; one is of no use without the other",
                $"both or none");
        }

        foreach (var (key, file) in new[]
            { ("ca_file", broker.CaFile), ("certificate_file", broker.CertificateFile), ("key_file", broker.KeyFile) })
        {
            if (file is not null && isOff)
                problems.Error(
                    keys.Place(key),
                    $"'{new Name(key)}' is used only on an encrypted connection, and 'tls' is off",
                    $"tls: true, or no '{new Name(key)}'");
            else if (file is not null && !File.Exists(file))
                problems.Note(keys.Place(key), $"there is no file {ProblemList.Quote(file)} at the moment; 'run' would stop "
                    + $"here");
        }

        if (broker.Tls && !broker.Embedded && broker.Port == 1883)
            problems.Note(keys.Place("tls"), $"encrypted connections usually use port 8883, and 'port' is 1883");
    }
}
