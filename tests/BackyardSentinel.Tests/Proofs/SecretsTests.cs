using System.CommandLine;
using BackyardSentinel.Commands;
using BackyardSentinel.Commands.Alerts;
using BackyardSentinel.Commands.Check;
using BackyardSentinel.Commands.Examine;
using BackyardSentinel.Commands.Explain;
using BackyardSentinel.Commands.Export;
using BackyardSentinel.Commands.Journal;
using BackyardSentinel.Commands.Plan;
using BackyardSentinel.Commands.Refused;
using BackyardSentinel.Commands.Store;
using BackyardSentinel.Delivery;
using BackyardSentinel.Web.Access;
using Microsoft.AspNetCore.Http;

namespace BackyardSentinel.Proofs;

/// <summary>
/// Twenty secrets, in every place of the garden file that may hold one, and servers that answer with all that they were sent, plain, in
/// base64 and unpacked. None of the secrets is found in what the service logs with <c>--verbose</c>, what any command prints, or what
/// lies in the store and its backup.
/// </summary>
public sealed class SecretsTests : IDisposable
{
    private const string Signing = "whsec_U2lnbmluZ0tleU9mVGhlUGhvbmVGaXJzdE9uZTAx";
    private const string OldSigning = "whsec_T2xkU2lnbmluZ0tleVRoYXRJc0dvaW5nU29vbjAy";

    /// <summary>What must not be seen.</summary>
    private static readonly string[] Secrets =
    [
        "Brok3rPassw0rd", "Ho0kUserName", "Ho0kUserPassw0rd", "H00kPathT0ken", "H00kQueryT0ken", "Bear3rHeaderT0ken", "BasicHeaderUs3r",
        "BasicHeaderPassw0rd", Signing["whsec_".Length..], OldSigning["whsec_".Length..], "SecondPathT0ken", "SecondHeaderK3y",
        "F0recastUserName", "F0recastPassw0rd", "F0recastPathT0ken", "F0recastQueryK3y", "F0recastHeaderK3y", "InfluxT0kenOfTheGarden",
        "Heartb3atPathT0ken", "Heartb3atQueryK3y", "Heartb3atPassw0rd",
    ];

    private readonly string _folder = Directory.CreateTempSubdirectory("sentinel-secrets-").FullName;

    private static CancellationToken Ct => TestContext.Current.CancellationToken;

    public void Dispose() => Directory.Delete(_folder, true);

    [Fact]
    public async Task Twenty_secrets_are_found_nowhere_also_where_servers_repeat_them()
    {
        Assert.True(Secrets.Length >= 20);
        using var broker = await Mosquitto.StartAsync();
        await using var server = await HttpPeer.StartAsync(ct: Ct);
        server.Answer = context => RepeatAsync(context);
        var garden = Garden(broker.Port, server.Url.Authority);
        StoreReading(garden);
        var said = new StringBuilder();
        using (var service = ServiceProcess.Start("run", "--garden", garden, "--verbose"))
        {
            await Until.TrueAsync(() => service.Errors.Contains("Connected to", StringComparison.Ordinal), "it is connected");
            using var sensor = await Peer.ConnectAsync(broker.Port);
            await sensor.PublishAsync("yard/t", "8.5");
            await sensor.PublishAsync("yard/h", "nonsense");
            // The heartbeat goes to public addresses only; that its address is never shown has a test of its own.
            foreach (var path in (string[])["F0recastPathT0ken", "/api/v2/write"])
                await Until.TrueAsync(
                    () => server.Requests.Any(request => request.Path.Contains(path, StringComparison.Ordinal)),
                    $"{path} is asked: {service.Errors}");
            await service.TerminateAsync(Ct);
            said.Append(service.Output).Append(service.Errors);
        }

        var time = TimeProvider.System;
        Run(AlertCommand.Create(time), "test", "--garden", garden);
        Run(CheckCommand.Create(), "--garden", garden);
        Run(ExamineCommand.Create(time), "--garden", garden, "--for", "1s", "--json");
        Run(ExamineCommand.Create(time), "--garden", garden, "--for", "1s");
        Run(ExplainCommand.Create(time), "--garden", garden, "--json");
        Run(PlanCommand.Create(time), "--garden", garden, "--json");
        Run(AlertCommand.Create(time), "list", "--garden", garden, "--json");
        Run(RefusedCommand.Create(), "--garden", garden);
        Run(JournalCommand.Create(time), "list", "--garden", garden);
        Run(ExportCommand.Create(), "readings", "--garden", garden);
        Run(BackupCommand.Create(time), Path.Combine(_folder, "backup.db"), "--garden", garden);
        Assert.True(File.Exists(Path.Combine(_folder, "backup.db")), said.ToString());
        // Both receivers were tried, and what came back was told.
        Assert.Contains("phone: not delivered", said.ToString(), StringComparison.Ordinal);
        Assert.Contains("second: not delivered", said.ToString(), StringComparison.Ordinal);

        HoldsNone("what was said", said.ToString());
        var written = Directory.GetFiles(_folder, "*", SearchOption.AllDirectories);
        foreach (var file in written.Where(file => !file.Contains("kept-", StringComparison.Ordinal)))
            HoldsNone(Path.GetFileName(file), Encoding.Latin1.GetString(await File.ReadAllBytesAsync(file, Ct)));

        void Run(Command command, params string[] arguments)
        {
            StringWriter output = new(CultureInfo.InvariantCulture), error = new(CultureInfo.InvariantCulture);
            try
            {
                command
                    .Parse(arguments)
                    .Invoke(new InvocationConfiguration { Output = output, Error = error, EnableDefaultExceptionHandler = false });
            }
            catch (Exception failure)
            {
                Failure.Tell(failure, true, error);
            }

            said.Append($"\n--- {command.Name} {arguments[0]}\n{output}{error}");
        }
    }

    [Fact]
    public async Task Keys_of_the_page_come_into_no_log()
    {
        var garden = Path.Combine(_folder, "garden.yaml");
        var store = Path.Combine(_folder, "garden.db");
        File.WriteAllText(garden, $"""
            broker:
              port: {ProofGarden.FreePort()}
              embedded: true
            page:
              port: {ProofGarden.FreePort()}
              listen: 0.0.0.0
            store:
              path: {store}
            {ProofGarden.Yard}
            """);
        using var service = ServiceProcess.Start("run", "--garden", garden);
        await Until.TrueAsync(
            () => service.Output.Contains("the command 'page' shows it", StringComparison.Ordinal),
            $"how to see the key is told: {service.Errors}");
        await service.TerminateAsync(Ct);

        var keys = PageKeys.Read(PageKeys.PathBeside(store))!;
        foreach (var key in (string[])[keys.Writer, keys.Reader])
            Assert.DoesNotContain(key, service.Output + service.Errors, StringComparison.Ordinal);
    }

    [Fact]
    public void A_secret_that_is_there_is_found()
    {
        var secret = Secrets[0];
        Assert.NotNull(Found($"a {secret} b", secret));
        foreach (var before in (string[])["", "x", "xy"])
            Assert.NotNull(Found(Convert.ToBase64String(Encoding.UTF8.GetBytes($"{before}{secret}:more")), secret));
        Assert.NotNull(Found(Convert.ToHexString(Encoding.UTF8.GetBytes(secret)), secret));
        Assert.Null(Found("nothing", secret));
    }

    private static void HoldsNone(string where, string text)
    {
        foreach (var secret in Secrets)
            Assert.True(Found(text, secret) is not { } at, $"{secret} is found in {where}: {Found(text, secret)}");
    }

    /// <summary>Where a secret stands in a text, in plain letters, in base64 wherever it begins there, or in hexadecimal.</summary>
    private static string? Found(string text, string secret)
    {
        var bytes = Encoding.UTF8.GetBytes(secret);
        List<string> forms = [secret, Convert.ToHexString(bytes)];
        for (var shift = 0; shift < 3; shift++)
        {
            // The letters that are the secret's alone, whatever stands before and behind it.
            var packed = Convert.ToBase64String([.. new byte[shift], .. bytes]).TrimEnd('=');
            forms.Add(packed[(shift == 0 ? 0 : shift + 1)..^1]);
        }

        foreach (var form in forms)
        {
            var at = text.IndexOf(form, StringComparison.OrdinalIgnoreCase);
            if (at >= 0)
                return text[Math.Max(0, at - 60)..Math.Min(text.Length, at + 60)];
        }

        return null;
    }

    /// <summary>Answers that it cannot, and with everything that it got, as it came, unpacked and packed.</summary>
    private static async Task RepeatAsync(HttpContext context)
    {
        var got = new StringBuilder();
        foreach (var (name, value) in context.Request.Headers.Reverse())
        {
            got.Append(value).Append(' ');
            got.Append(Convert.ToBase64String(Encoding.UTF8.GetBytes(value.ToString()))).Append(' ');
            foreach (var word in value.ToString().Split(' '))
            {
                var unpacked = new byte[word.Length];
                if (name == "Authorization" && Convert.TryFromBase64String(word, unpacked, out var length))
                    got.Append(Encoding.UTF8.GetString(unpacked, 0, length)).Append(' ');
            }
        }

        got.Append(context.Request.Path).Append(context.Request.QueryString);
        context.Response.StatusCode = 400;
        context.Response.Headers["X-Trouble"] = "yes";
        var isInflux = context.Request.Path.StartsWithSegments("/api", StringComparison.Ordinal);
        await context.Response.WriteAsync(
            isInflux ? $"{{\"code\":\"invalid\",\"message\":\"{got.Replace("\"", "'")}\"}}" : got.ToString());
    }

    /// <summary>Something to send to InfluxDB at once: what comes later waits up to a minute.</summary>
    private static void StoreReading(string garden)
    {
        var file = GardenFileReader.Read(garden).Garden!;
        var at = TimeProvider.System.GetUtcNow().AddHours(-1).ToUnixTimeMilliseconds();
        using var store = SentinelStore.Open(file.Store.Path);
        var batch = new StoreBatch();
        batch.Readings.Add(new StoredReading(store.SeriesId(file.Series[0].Name), at, 8, at * 1000));
        store.Commit(batch);
    }

    private string Garden(int port, string server)
    {
        File.WriteAllText(Kept("password"), "Brok3rPassw0rd\n");
        File.WriteAllText(Kept("hook"), $"http://Ho0kUserName:Ho0kUserPassw0rd@{server}/hook/H00kPathT0ken?key=H00kQueryT0ken\n");
        File.WriteAllText(Kept("bearer"), "Bearer Bear3rHeaderT0ken\n");
        File.WriteAllText(Kept("basic"), "Basic " + Convert.ToBase64String("BasicHeaderUs3r:BasicHeaderPassw0rd"u8) + "\n");
        File.WriteAllText(Kept("signing"), $"{Signing} {OldSigning}\n");
        File.WriteAllText(Kept("second"), $"http://{server}/bot/SecondPathT0ken/send\n");
        File.WriteAllText(Kept("second-key"), "SecondHeaderK3y\n");
        File.WriteAllText(
            Kept("forecast"),
            $"http://F0recastUserName:F0recastPassw0rd@{server}/ahead/F0recastPathT0ken?appid=F0recastQueryK3y\n");
        File.WriteAllText(Kept("forecast-key"), "F0recastHeaderK3y\n");
        File.WriteAllText(Kept("influx"), "InfluxT0kenOfTheGarden\n");
        File.WriteAllText(
            Kept("heartbeat"),
            $"http://beat:Heartb3atPassw0rd@{server}/beat/Heartb3atPathT0ken?k=Heartb3atQueryK3y\n");
        var path = Path.Combine(_folder, "kept-garden.yaml");
        File.WriteAllText(path, $"""
            broker:
              port: {port}
              username: sentinel
              password: file:{Kept("password")}
            store:
              path: {Path.Combine(_folder, "garden.db")}
              commit_window: 1s
            {ProofGarden.Yard}
            forecast:
              kind: http
              url: file:{Kept("forecast")}
              contact: garden@example.org
              allow_private: true
              headers:
                - name: X-Key
                  value: file:{Kept("forecast-key")}
            influx:
              url: http://{server}
              org: garden
              bucket: weather
              token: file:{Kept("influx")}
            alerts:
              heartbeat: file:{Kept("heartbeat")}
              heartbeat_every: 5m
              send_to:
                - id: phone
                  kind: webhook
                  url: file:{Kept("hook")}
                  allow_private: true
                  secret: file:{Kept("signing")}
                  headers:
                    - name: X-Bearer
                      value: file:{Kept("bearer")}
                    - name: X-Basic
                      value: file:{Kept("basic")}
                - id: second
                  kind: webhook
                  url: file:{Kept("second")}
                  allow_private: true
                  headers:
                    - name: X-Key
                      value: file:{Kept("second-key")}
            """);
        return path;
    }

    private string Kept(string what) => Path.Combine(_folder, "kept-" + what);
}
