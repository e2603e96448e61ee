using System.CommandLine;
using System.Diagnostics;
using BackyardSentinel.Commands;
using BackyardSentinel.Commands.Alerts;
using BackyardSentinel.Commands.Check;
using BackyardSentinel.Commands.Examine;
using BackyardSentinel.Commands.Plan;
using BackyardSentinel.Commands.Replay;
using BackyardSentinel.Commands.Store;

namespace BackyardSentinel.Proofs;

/// <summary>
/// Names that lead to a pipe nobody writes to, to a device without end, to a folder or to nothing, given wherever a command takes a
/// file: each is answered in a sentence, and none is waited for or read without end.
/// </summary>
public sealed class BoundsTests : IDisposable
{
    private readonly string _folder = Directory.CreateTempSubdirectory("sentinel-bounds-").FullName;

    public static TheoryData<string, string> Cases
    {
        get
        {
            TheoryData<string, string> all = [];
            foreach (var where in (string[])["garden", "log", "backup", "journal", "password", "ca", "words", "template", "signing"])
            {
                foreach (var what in (string[])["pipe", "endless", "folder", "nothing"])
                    all.Add(where, what);
            }

            return all;
        }
    }

    public void Dispose() => Directory.Delete(_folder, true);

    [Theory]
    [MemberData(nameof(Cases))]
    public async Task A_file_that_is_none_is_answered_in_a_sentence(string where, string what)
    {
        Assert.SkipUnless(OperatingSystem.IsLinux(), "Pipes and devices as on Linux.");
        var path = Special(what);
        var (command, arguments) = Of(where, path);
        StringWriter output = new(CultureInfo.InvariantCulture), error = new(CultureInfo.InvariantCulture);
        var before = GC.GetTotalAllocatedBytes();
        var code = await Task
            .Run(
                () =>
                {
                    try
                    {
                        return command
                            .Parse(arguments)
                            .Invoke(new InvocationConfiguration { Output = output, Error = error, EnableDefaultExceptionHandler = false });
                    }
                    catch (Exception failure)
                    {
                        return Failure.Tell(failure, false, error);
                    }
                },
                TestContext.Current.CancellationToken)
            .WaitAsync(TimeSpan.FromMinutes(2), TestContext.Current.CancellationToken);

        var said = $"{output}\n{error}";
        Assert.True(code != 0, said);
        Assert.Contains(what == "endless" ? "/dev/zero" : Path.GetFileName(path), said, StringComparison.Ordinal);
        Assert.DoesNotContain("please report", said, StringComparison.Ordinal);
        Assert.DoesNotContain("   at ", said, StringComparison.Ordinal);
        // Other tests run meanwhile: this tells what is without bound from what is not.
        Assert.True(GC.GetTotalAllocatedBytes() - before < 2_000_000_000L, "it has read on and on");
    }

    private string Special(string what)
    {
        var path = Path.Combine(_folder, "special");
        switch (what)
        {
            case "pipe":
                using (var make = Process.Start("mkfifo", [path]))
                    make.WaitForExit();
                return path;
            case "folder":
                Directory.CreateDirectory(path);
                return path;
            default:
                return what == "endless" ? "/dev/zero" : path;
        }
    }

    private (Command Command, string[] Arguments) Of(string where, string path)
    {
        return where switch
        {
            "garden" => (CheckCommand.Create(), ["--garden", path]),
            "log" => (ReplayCommand.Create(), [path]),
            "backup" => (RestoreCommand.Create(TimeProvider.System), [path, "--garden", Garden()]),
            "journal" => (PlanCommand.Create(TimeProvider.System), ["--garden", Garden(), "--journal", path]),
            "password" => (
                ExamineCommand.Create(TimeProvider.System),
                Examined(Garden(broker: $"  username: me\n  password: file:{path}\n"))),
            "ca" => (ExamineCommand.Create(TimeProvider.System), Examined(Garden(broker: $"  tls: true\n  ca_file: {path}\n"))),
            "words" => (AlertCommand.Create(TimeProvider.System), ["test", "--garden", Garden($"alerts:\n  words: {path}\n{Dry}")]),
            "template" => (
                AlertCommand.Create(TimeProvider.System),
                ["test", "--garden", Garden(Hook($"content: text\n      template_file: {path}"))]),
            "signing" => (AlertCommand.Create(TimeProvider.System), ["test", "--garden", Garden(Hook($"secret: file:{path}"))]),
            _ => throw new ArgumentOutOfRangeException(nameof(where), where, "No such place."),
        };
    }

    private const string Dry = "  send_to:\n    - id: wall\n      kind: dry-run\n";

    private static string Hook(string more) =>
        "alerts:\n  send_to:\n    - id: phone\n      kind: webhook\n      url: http://127.0.0.1:9/\n      allow_private: true\n"
        + $"      {more}\n";

    private static string[] Examined(string garden) => ["--garden", garden, "--for", "1s"];

    private string Garden(string more = "", string broker = "")
    {
        var path = Path.Combine(_folder, "garden.yaml");
        File.WriteAllText(path, $"""
            broker:
              port: 9
            {broker}store:
              path: sentinel.db
            {ProofGarden.Yard}
            {more}
            """);
        return path;
    }
}
