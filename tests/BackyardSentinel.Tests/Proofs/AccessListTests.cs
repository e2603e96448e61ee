using System.Diagnostics;
using BackyardSentinel.Tests;

namespace BackyardSentinel.Proofs;

/// <summary>
/// The access list that docs/mqtt.md gives, word for word, loaded into a real broker with passwords: a service that watches,
/// warns and says goodbye is refused nothing, and publishes nowhere but below its own topics.
/// </summary>
public sealed class AccessListTests : IDisposable
{
    private const string Password = "dibber-and-twine";
    private readonly string _folder = Directory.CreateTempSubdirectory("sentinel-access-").FullName;

    private static CancellationToken Ct => TestContext.Current.CancellationToken;

    public void Dispose() => Directory.Delete(_folder, true);

    [Fact]
    public async Task With_the_list_of_the_documents_a_whole_run_is_refused_nothing_and_stays_in_its_own_tree()
    {
        using var broker = await GuardedBrokerAsync();
        using var garden = new WetGarden(broker.Port, ["white-peach"], "- id: hub\n  kind: topic\n");
        GiveLogin(garden, Password);
        garden.Seed(TimeProvider.System.GetUtcNow(), untilNow: true);
        using var watcher = await Peer.ConnectAsync(broker.Port, ("watcher", Password), "#");
        using var sensor = await Peer.ConnectAsync(broker.Port, ("sensors", Password));
        string said;
        using (var service = garden.Run())
        {
            await watcher.HearsAsync("sentinel/state", "watching");
            await sensor.PublishAsync("yard/temperature", "6.1");
            await sensor.PublishAsync("yard/humidity", "97");
            await watcher.HearsAsync("sentinel/south-wall/white-peach/risk", "level");
            await watcher.HearsAsync("sentinel/south-wall/weather", "wet");
            await watcher.HearsAsync("homie/5/sentinel-1a2b3c4d/$state", "ready");
            await Until.TrueAsync(() => watcher.Heard.Any(one => IsAlert(one.Topic)), "an alert is published");
            Assert.Equal(0, await service.TerminateAsync(Ct));
            said = service.Errors;
        }

        await watcher.HearsAsync("sentinel/state", "stopped");
        Assert.DoesNotContain("does not let", said, StringComparison.Ordinal);
        Assert.DoesNotContain("Denied", await File.ReadAllTextAsync(Log, Ct), StringComparison.Ordinal);
        string[] own = ["sentinel/", "homie/5/sentinel-1a2b3c4d/", "yard/"];
        Assert.DoesNotContain(watcher.Heard, one => !own.Any(root => one.Topic.StartsWith(root, StringComparison.Ordinal)));
        Assert.Equal(
            ["yard/humidity", "yard/temperature"],
            watcher.Heard.Select(one => one.Topic).Where(topic => topic.StartsWith("yard/", StringComparison.Ordinal)).Distinct().Order());
    }

    [Fact]
    public async Task A_list_that_allows_less_and_a_wrong_password_are_told_each_with_what_to_do()
    {
        using var broker = await GuardedBrokerAsync("topic readwrite sentinel/#\n");
        using var garden = new WetGarden(broker.Port, ["white-peach"], "- id: hub\n  kind: topic\n");
        GiveLogin(garden, Password);
        using (var service = garden.Run())
        {
            await Until.TrueAsync(
                () => service.Errors.Contains("Let it write sentinel/# in the broker's access list", StringComparison.Ordinal),
                "what must be allowed is told");
        }

        GiveLogin(garden, "another");
        using (var service = garden.Run())
        {
            await Until.TrueAsync(
                () => service.Errors.Contains("does not let this user in", StringComparison.Ordinal)
                    || service.Errors.Contains("user name or password is wrong", StringComparison.Ordinal),
                "the wrong password is told");
            Assert.DoesNotContain(Password, service.Errors, StringComparison.Ordinal);
        }
    }

    private string Log => Path.Combine(_folder, "broker.log");

    private static bool IsAlert(string topic) => topic.StartsWith("sentinel/alert/", StringComparison.Ordinal);

    /// <summary>The garden of the documents' list: its topics, its client id, the password in a file that systemd may hand over.</summary>
    private void GiveLogin(WetGarden garden, string password)
    {
        // As systemd puts a credential: a file that its one reader can read and nobody write.
        var credential = Path.Combine(_folder, "broker-password");
        if (File.Exists(credential))
            File.Delete(credential);
        File.WriteAllText(credential, password + "\n");
        KeepTo(credential, UnixFileMode.UserRead);
        var text = File.ReadAllText(garden.GardenPath);
        if (!text.Contains("client_id", StringComparison.Ordinal))
        {
            text = text
                .Replace("topic: hub/", "topic: yard/", StringComparison.Ordinal)
                .Replace(
                    "store:\n",
                    $"  client_id: sentinel-1a2b3c4d\n  username: sentinel\n  password: file:{credential}\nstore:\n",
                    StringComparison.Ordinal);
        }

        File.WriteAllText(garden.GardenPath, text);
    }

    /// <summary>A broker with passwords and the documents' access list.</summary>
    /// <param name="without">A line that is left out of it.</param>
    private async Task<Mosquitto> GuardedBrokerAsync(string without = "")
    {
        Assert.SkipUnless(File.Exists("/usr/bin/mosquitto_passwd"), "mosquitto_passwd is not on this machine.");
        var documents = await File.ReadAllTextAsync(Checkout.Path("docs", "mqtt.md"), Ct);
        var begin = documents.IndexOf("user sentinel\n", StringComparison.Ordinal);
        var list = documents[begin..documents.IndexOf("```", begin, StringComparison.Ordinal)];
        Assert.Contains(without, list, StringComparison.Ordinal);
        if (without.Length > 0)
            list = list.Replace(without, "", StringComparison.Ordinal);
        var (acl, passwords) = (Path.Combine(_folder, "acl"), Path.Combine(_folder, "passwords"));
        File.WriteAllText(acl, $"{list}\nuser watcher\ntopic read #\n\nuser sensors\ntopic write yard/#\n");
        File.WriteAllText(passwords, "");
        foreach (var user in (string[])["sentinel", "watcher", "sensors"])
        {
            using var process = Process.Start("/usr/bin/mosquitto_passwd", ["-b", passwords, user, Password]);
            await process.WaitForExitAsync(Ct);
        }

        foreach (var file in (string[])[acl, passwords])
            KeepTo(file, UnixFileMode.UserRead | UnixFileMode.UserWrite);
        return await Mosquitto.StartAsync(
            $"allow_anonymous false\npassword_file {passwords}\nacl_file {acl}\nlog_dest file {Log}\nlog_type all\n");
    }

    private static void KeepTo(string file, UnixFileMode mode)
    {
        if (!OperatingSystem.IsWindows())
            File.SetUnixFileMode(file, mode);
    }
}
