using BackyardSentinel.Configuration.Yaml;
using BackyardSentinel.Sensors;
using BackyardSentinel.Tests.Configuration;

namespace BackyardSentinel.Tests.Fuzzing;

/// <summary>Garden files. One that is taken must be one that the service can run.</summary>
internal sealed class FuzzedGarden : FuzzedReader
{
    private static readonly UTF8Encoding Utf8 = new(false, throwOnInvalidBytes: true);

    /// <inheritdoc/>
    public override IEnumerable<byte[]> Seeds =>
        from kind in (string[])["good", "bad"]
        from name in GardenFixtures.Names(kind)
        select Input(0, 0, File.ReadAllBytes(GardenFixtures.Scenario(kind, name)));

    /// <inheritdoc/>
    public override IEnumerable<byte[]> Words =>
        File.ReadAllText(GardenFixtures.Scenario("good", "every-key.yaml"))
            .Split((char[])[' ', '\n', '"', ','], StringSplitOptions.RemoveEmptyEntries)
            .Concat(["- ", "\n  ", "\n    - ", ": ", "&a ", "*a", "<<: ", "!!str ", "|", ">-", "? ", "---", "...", "{}", "[]", "'", "\""])
            .Distinct()
            .Select(Encoding.UTF8.GetBytes);

    /// <inheritdoc/>
    protected override void Read(byte which, byte how, byte[] bytes)
    {
        string text;
        try
        {
            text = Utf8.GetString(bytes);
        }
        catch (DecoderFallbackException)
        {
            return; // GardenText says so before the reader sees it.
        }

        var (garden, problems) = GardenFileReader.ReadText("garden.yaml", text);
        Assert.Equal(garden is null, problems.Any(problem => !problem.IsNote));
        Assert.All(problems, problem =>
        {
            Assert.InRange(problem.Message.Text.Length, 1, 2000);
            Assert.DoesNotContain($"{problem.Message}{problem.Expected}", letter => char.IsControl(letter) && letter != '\t');
        });
        ProblemRenderer.Write(problems, TextWriter.Null);
        if (garden is null)
            return;
        _ = new PayloadMap(garden.Series);
        foreach (var site in garden.Sites)
            _ = new SiteWatch(site, _ => { });
    }
}
