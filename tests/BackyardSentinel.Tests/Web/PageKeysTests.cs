using System.CommandLine;
using BackyardSentinel.Commands;
using BackyardSentinel.Commands.Page;
using BackyardSentinel.Hosting;
using BackyardSentinel.Web.Access;

namespace BackyardSentinel.Web;

/// <summary>The keys of the page in their file: who makes them, whose they are, and what is lost where they cannot be read.</summary>
public sealed class PageKeysTests : IDisposable
{
    private readonly string _folder = Directory.CreateTempSubdirectory("sentinel-keys-").FullName;

    private string Keys => PageKeys.PathBeside(Path.Combine(_folder, "sentinel.db"));

    public void Dispose() => Directory.Delete(_folder, recursive: true);

    [Fact]
    public void Keys_are_kept_for_their_owner_alone_and_stay_until_they_are_made_anew()
    {
        var (made, read) = (PageKeys.Of(Keys), PageKeys.Of(Keys));
        var (writer, pass) = (made.Writer, made.FormPass);

        Assert.True(made.AreNew);
        Assert.False(read.AreNew);
        Assert.Equal(writer, read.Writer);
        Assert.True(writer.Length >= 32);

        File.SetLastWriteTimeUtc(Keys, DateTime.UnixEpoch);
        var renewed = PageKeys.Renew(Keys);

        Assert.Equal(Role.Reader, renewed.RoleOf(renewed.Reader));
        Assert.Equal(renewed.Writer, PageKeys.Of(Keys).Writer);
        // A service that runs has read the old ones.
        Assert.Equal((Role.Stranger, Role.Writer), (read.RoleOf(writer), read.RoleOf(renewed.Writer)));
        Assert.False(read.IsFormPass(pass));

        File.Delete(Keys);
        Assert.Equal(Role.Writer, read.RoleOf(renewed.Writer));
        PageKeys.Of(Keys);
        if (!OperatingSystem.IsWindows())
            Assert.Equal(UnixFileMode.UserRead | UnixFileMode.UserWrite, File.GetUnixFileMode(Keys));
    }

    // The garden file is read anew while a form is open: the page is made again, and the form is still one of its own.
    [Fact]
    public void The_keys_of_a_page_for_this_computer_outlast_a_reload()
    {
        Assert.True(PageKeys.Passing().IsFormPass(PageKeys.Passing().FormPass));
        Assert.False(PageKeys.Passing().IsFormPass(PageKeys.Of(Keys).FormPass));
    }

    /// <summary>A command called with sudo must not put a file of root's where the service's was.</summary>
    [Fact]
    public void New_keys_are_written_into_the_very_file_that_the_service_has()
    {
        PageKeys.Of(Keys);
        using var service = new FileStream(Keys, FileMode.Open, FileAccess.Read, FileShare.ReadWrite);
        var (code, said) = Page("--renew");

        using var reader = new StreamReader(service);
        Assert.Equal(ExitCode.Done, code);
        Assert.Contains(reader.ReadLine()!, said, StringComparison.Ordinal);
        Assert.Equal([Keys], Directory.EnumerateFiles(_folder, "*keys*"));
    }

    [Fact]
    public void Keys_are_not_renewed_through_a_link_that_leads_elsewhere()
    {
        Assert.SkipWhen(OperatingSystem.IsWindows(), "Links need a right of their own there.");
        var elsewhere = Path.Combine(_folder, "elsewhere");
        PageKeys.Of(elsewhere);
        var before = File.ReadAllText(elsewhere);
        File.CreateSymbolicLink(Keys, elsewhere);

        var (code, said) = Page("--renew");

        Assert.Equal(ExitCode.BadInput, code);
        Assert.Contains("it is a link to another file", said, StringComparison.Ordinal);
        Assert.Equal(before, File.ReadAllText(elsewhere));
    }

    [Fact]
    public void The_command_shows_the_service_s_keys_and_makes_none_itself()
    {
        var (code, said) = Page();
        Assert.Equal(ExitCode.BadInput, code);
        Assert.Contains("the service makes them when it starts for the first time", said, StringComparison.Ordinal);
        Assert.False(File.Exists(Keys));

        var keys = PageKeys.Of(Keys);
        Assert.Contains(keys.Writer, Page().Said, StringComparison.Ordinal);
    }

    [Fact]
    public async Task Keys_that_cannot_be_read_cost_the_page_alone_and_are_told()
    {
        await using var house = await PageHouse.OpenAsync();
        Directory.CreateDirectory(PageKeys.PathBeside(house.File.Store.Path)); // A folder is no file that anybody could read.
        using var log = new LogLines();

        var link = new Mqtt.MqttLink(house.File.Broker, [], (_, _) => ValueTask.CompletedTask, house.Time, log.Logger);
        using var page = PageWiring.Of(
            house.File, new PageSettings { Listen = System.Net.IPAddress.Any }, house.Loop, link, house.Time, log.Logger, null);

        Assert.Null(page);
        Assert.Contains("The garden is watched on without it", Assert.Single(log.Lines), StringComparison.Ordinal);
    }

    private (int Code, string Said) Page(params string[] options)
    {
        var garden = Path.Combine(_folder, "garden.yaml");
        File.WriteAllText(garden, PageGarden.Wall.Replace("port: 5480", "listen: 0.0.0.0", StringComparison.Ordinal));
        StringWriter said = new();
        var code = PageCommand
            .Create()
            .Parse(["--garden", garden, .. options])
            .Invoke(new InvocationConfiguration { Output = said, Error = said });
        return (code, said.ToString());
    }
}
