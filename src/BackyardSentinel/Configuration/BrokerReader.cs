using BackyardSentinel.Configuration.Keys;
using BackyardSentinel.Configuration.Reading;
using BackyardSentinel.Configuration.Yaml;
using BackyardSentinel.Mqtt;

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
            Password = SecretKeys.Reference(keys, "password", "password", problems),
            Tls = keys.Flag("tls"),
            CaFile = keys.Text("ca_file") is { } authority ? problems.Beside(authority) : null,
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
        var fault = host.Contains("://", StringComparison.Ordinal) ? "holds a scheme; encryption is switched by 'tls'"
            : host.Count(c => c == ':') == 1 ? "holds a port, which has its own key 'port'"
            : host.Any(c => char.IsWhiteSpace(c) || c is '/' or '@') ? "holds a character no host name has"
            : null;
        if (fault is not null)
            problems.Error(
                keys.Place("host"),
                $"'host' {fault}: {ProblemList.Quote(host)}",
                "the name or address alone, such as 192.168.1.20");
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
        if (broker.Embedded && broker.Tls)
            problems.Error(
                keys.Place("tls"),
                "the embedded broker is reachable from this computer only and speaks without encryption, "
                    + "so 'tls' cannot be true beside 'embedded: true'",
                "tls: false, or embedded: false and the host of your own broker");
        if (broker.Embedded && broker.Host is not ("127.0.0.1" or "localhost" or "::1"))
            problems.Error(
                keys.Place("host"),
                $"the embedded broker runs on this computer, but 'host' names {ProblemList.Quote(broker.Host)}",
                "no 'host' beside 'embedded: true', or embedded: false to use that broker");
        if (broker.Embedded && (keys.Has("username") || keys.Has("password")))
            problems.Note(
                keys.Place(keys.Has("username") ? "username" : "password"),
                "the embedded broker asks for no login, so user name and password are not used");
        if (keys.Has("password") && !keys.Has("username"))
            problems.Error(
                keys.Place("password"),
                "there is a 'password' but no 'username'; brokers refuse one without the other",
                "both keys or none");
        if (broker.CaFile is { } file && !broker.Tls && keys.Node("tls") is not YamlScalar { Value: not "false" })
            problems.Error(
                keys.Place("ca_file"),
                "'ca_file' is used only on an encrypted connection, and 'tls' is off",
                "tls: true, or no 'ca_file'");
        else if (broker.CaFile is { } named && !File.Exists(named))
            problems.Note(keys.Place("ca_file"), $"there is no file {ProblemList.Quote(named)} at the moment; 'run' would stop here");
        if (broker.Tls && !broker.Embedded && broker.Port == 1883)
            problems.Note(keys.Place("tls"), "encrypted connections usually use port 8883, and 'port' is 1883");
    }
}
