using System.CommandLine;
using System.Security.Cryptography.X509Certificates;
using BackyardSentinel.Commands;
using BackyardSentinel.Commands.Check;
using BackyardSentinel.Commands.SetUp;
using BackyardSentinel.Network;

namespace BackyardSentinel.Tests.Commands;

/// <summary>From an empty folder to a garden that can be watched, by answers from a pipe.</summary>
public sealed class SetUpCommandTests : IDisposable
{
    private readonly string _folder = Directory.CreateTempSubdirectory("set-up-").FullName;
    private string _name = "garden.yaml";

    public void Dispose() => Directory.Delete(_folder, true);

    private string Garden => Path.Combine(_folder, _name);

    [Fact]
    public async Task Sensors_that_are_heard_at_a_broker_become_a_garden_file_that_passes_check()
    {
        using var broker = await Mosquitto.StartAsync();
        using var sensor = await Peer.ConnectAsync(broker.Port);
        using var stop = new CancellationTokenSource();
        var sending = SendAsync(sensor, stop.Token);

        var (code, output, error) = await RunAsync(
            "Weir Bank", "metric", "de", "46.05, 14.51", "Europe/Ljubljana",
            "peach", "Wall peach (old)", "2", "yes", "yes", "apricot", "", "", "", "",
            $"127.0.0.1:{broker.Port}", "no", "none", "3s", "", "", "yes", "none", "computer", "no");
        await stop.CancelAsync();
        await sending;

        Assert.True(code == ExitCode.Done, output + error);
        var (garden, problems) = GardenFileReader.Read(Garden);
        Assert.True(garden is not null, output + string.Join('\n', problems));
        Assert.DoesNotContain(problems, problem => !problem.IsNote);
        Assert.Equal(
            ["humidity garden/air h", "rain garden/rain ", "temperature garden/air t"],
            garden.Series.Select(one => $"{one.Quantity.Word()} {one.Topic} {one.Path}").Order());
        Assert.Equal(["wall-peach-old 2", "apricot 1"], garden.Sites[0].Plantings.Select(one => $"{one.Id} {one.Trees}"));
        var site = garden.Sites[0];
        Assert.Equal("de", garden.Language);
        Assert.Equal((46.05, 14.51, "Europe/Ljubljana"), (site.LatitudeDeg, site.LongitudeDeg, site.Zone.Id));
        Assert.Contains("http://127.0.0.1:5480/", output, StringComparison.Ordinal);
        Assert.Equal(ExitCode.Done, CheckCommand.Create().Parse(["--garden", Garden]).Invoke());
    }

    [Fact]
    public async Task What_sends_numbers_and_cannot_be_named_is_told()
    {
        using var broker = await Mosquitto.StartAsync();
        using var sensor = await Peer.ConnectAsync(broker.Port);
        await sensor.PublishAsync("yard/gauge", "4181", retain: true);
        await sensor.PublishAsync("yard/mood", "sunny", retain: true);
        var (_, output, error) = await RunAsync(
            "", "", "", "", "", "", "", "", "", "", $"127.0.0.1:{broker.Port}", "no", "none", "1s", "no", "", "", "", "", "", "", "no");

        Assert.True(output.Contains("  Left out: yard/gauge 4181: ", StringComparison.Ordinal), output + error);
        Assert.DoesNotContain("yard/mood", output, StringComparison.Ordinal);
        Assert.Contains("No rain so far.", output, StringComparison.Ordinal);
    }

    [Fact]
    public async Task An_empty_answer_to_everything_gives_a_garden_that_passes_check_and_says_what_was_not_heard()
    {
        var (code, output, error) = await RunAsync(["", "", "", "", "", "", "", "", "", "", "inside", "", "", "", "", "", "", "", "no"]);

        Assert.True(code == ExitCode.Done, output + error);
        Assert.Equal(ExitCode.Done, CheckCommand.Create().Parse(["--garden", Garden]).Invoke());
        Assert.Equal(["garden/temperature", "garden/humidity"], GardenFileReader.Read(Garden).Garden!.Series.Select(one => one.Topic));
    }

    [Theory]
    [InlineData("Latitude", "\"here\" is not two numbers; write them with points", "", "", "", "here", "95, 10", "46.05, 14.51")]
    [InlineData("zone", "is it Europe/Ljubljana?", "", "", "", "", "Europe/Lubljana", "Europe/Ljubljana")]
    [InlineData("tree", "\"plum\" is not one of peach, nectarine, almond, apricot", "", "", "", "", "", "plum", "nectarine")]
    [InlineData("call it", "\"Peach\" is the name of another already", "", "", "", "", "", "", "", "", "", "yes", "", "Peach", "")]
    [InlineData("How many", "\"many\" is not a number from 1 to 999", "", "", "", "", "", "", "", "many")]
    [InlineData("broker", "\"99999\" is not a port from 1 to 65535", "", "", "", "", "", "", "", "", "", "", "host:99999", "inside")]
    public async Task A_bad_answer_is_told_and_asked_again(string question, string says, params string[] answers)
    {
        var (_, output, _) = await RunAsync(answers);

        Assert.Contains(says, output, StringComparison.Ordinal);
        Assert.True(output.Split(question).Length > 2, output);
    }

    [Fact]
    public async Task Where_nothing_can_be_written_it_is_told_before_the_first_question()
    {
        _name = "garden.yaml/inside/garden.yaml";
        File.WriteAllText(Path.Combine(_folder, "garden.yaml"), "mine\n");
        var (code, output, error) = await RunAsync("");

        Assert.Equal((ExitCode.BadInput, ""), (code, output));
        Assert.Contains("cannot be written", error, StringComparison.Ordinal);
    }

    [Fact]
    public async Task A_garden_that_is_there_is_left_alone_unless_it_is_asked_for_and_then_kept_beside()
    {
        File.WriteAllText(Garden, "mine\n");
        var (code, output, _) = await RunAsync("");
        Assert.Equal((ExitCode.Done, "mine\n"), (code, File.ReadAllText(Garden)));
        Assert.Contains("Nothing was changed", output, StringComparison.Ordinal);

        await RunAsync("yes", "", "", "", "", "", "", "", "", "", "", "inside", "", "", "", "", "", "", "", "no");
        Assert.Equal("mine\n", File.ReadAllText(Garden + ".before-1"));
        Assert.StartsWith("# Written by", File.ReadAllText(Garden), StringComparison.Ordinal);
    }

    [Fact]
    public async Task The_address_of_the_phone_is_kept_in_a_file_of_its_own_and_shown_nowhere()
    {
        const string Address = "https://push.example/send?key=kept-secret";
        var (code, output, error) = await RunAsync("", "", "", "", "", "", "", "", "", "", "inside", "", "", "", "", Address, "", "", "no");

        Assert.True(code == ExitCode.Done, output + error);
        Assert.DoesNotContain("kept-secret", File.ReadAllText(Garden) + output + error, StringComparison.Ordinal);
        var file = Path.Combine(_folder, "secrets", "phone-address");
        Assert.Contains("content: text", File.ReadAllText(Garden), StringComparison.Ordinal);
        Assert.Equal(Address, File.ReadAllText(file).Trim());
        if (!OperatingSystem.IsWindows())
            Assert.Equal(UnixFileMode.UserRead | UnixFileMode.UserWrite | UnixFileMode.GroupRead, File.GetUnixFileMode(file));
    }

    [Fact]
    public async Task A_second_garden_in_the_folder_has_secrets_of_its_own()
    {
        string Secret(string name) => File.ReadAllText(Path.Combine(_folder, "secrets", name)).Trim();
        foreach (var (name, address) in new[] { ("garden.yaml", "https://push.example/one"), ("orchard.yaml", "https://push.example/two") })
        {
            _name = name;
            await RunAsync("", "", "", "", "", "", "", "", "", "", "inside", "", "", "", "", address, "json", "", "no");
            Assert.Equal(ExitCode.Done, CheckCommand.Create().Parse(["--garden", Garden]).Invoke());
        }

        Assert.Equal(
            ("https://push.example/one", "https://push.example/two"), (Secret("phone-address"), Secret("orchard-phone-address")));
    }

    [Fact]
    public async Task Where_nothing_answers_at_the_broker_it_is_told_and_one_may_go_on()
    {
        var (code, output, error) = await RunAsync(
            "", "", "", "", "", "", "", "", "", "", "127.0.0.1:1", "", "", "no", "", "", "", "", "", "", "no");

        Assert.Contains("refuses the connection", output, StringComparison.Ordinal);
        Assert.True(code == ExitCode.Done, output + error);
    }

    /// <summary>It listens only where the certificate was taken, so what it writes has been tried.</summary>
    [Fact]
    public async Task A_broker_that_lets_in_by_certificate_is_heard_and_written_down()
    {
        using var authority = new TestAuthority();
        var (ca, own) = (Write("ca.pem", authority.Certificate.ExportCertificatePem()), authority.Issue("sentinel", 30));
        var (shown, kept) = (Write("own.pem", own.ExportCertificatePem()), Write("own.key", Key(own)));
        using var broker = await Mosquitto.StartAsync(
            $"cafile {ca}\ncertfile {Write("broker.pem", authority.Good.ExportCertificatePem())}\n"
                + $"keyfile {Write("broker.key", Key(authority.Good))}\nrequire_certificate true\n");

        var (code, output, error) = await RunAsync(
            "", "", "", "", "", "", "", "", "", "", $"localhost:{broker.Port}", "yes", ca, shown, "", "none", "1s", "no", "", "", "", "",
            "", "", "", "no");

        Assert.True(code == ExitCode.Done, output + error);
        Assert.Contains("Heard 0 messages", output, StringComparison.Ordinal);
        Assert.Equal(
            (true, ca, shown, kept),
            GardenFileReader.Read(Garden).Garden!.Broker is var got ? (got.Tls, got.CaFile, got.CertificateFile, got.KeyFile) : default);

        static string Key(X509Certificate2 certificate) => certificate.GetECDsaPrivateKey()!.ExportPkcs8PrivateKeyPem();
    }

    private string Write(string name, string text)
    {
        var path = Path.Combine(_folder, name);
        File.WriteAllText(path, text);
        return path;
    }

    private async Task<(int Code, string Output, string Error)> RunAsync(params string[] answers)
    {
        StringWriter output = new(CultureInfo.InvariantCulture), error = new(CultureInfo.InvariantCulture);
        var code = await SetUpCommand
            .Create(TimeProvider.System, new StringReader(string.Concat(answers.Select(answer => answer + "\n"))))
            .Parse(["--garden", Garden])
            .InvokeAsync(
                new InvocationConfiguration { Output = output, Error = error, EnableDefaultExceptionHandler = false },
                TestContext.Current.CancellationToken);
        return (code, output.ToString(), error.ToString());
    }

    /// <summary>An air sensor and a rain gauge, more talkative than real ones.</summary>
    private static async Task SendAsync(Peer sensor, CancellationToken stop)
    {
        for (var i = 0; !stop.IsCancellationRequested; i++)
        {
            await sensor.PublishAsync("garden/air", $$"""{"t": 9.{{i % 3}}, "h": 81, "battery": 88}""");
            await sensor.PublishAsync("garden/rain", "0.2 mm");
            await Task.Delay(100, CancellationToken.None);
        }
    }
}
