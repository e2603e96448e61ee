using System.CommandLine;
using BackyardSentinel.Commands;
using BackyardSentinel.Commands.Check;
using BackyardSentinel.Guards;
using BackyardSentinel.Tests.Configuration;
using BackyardSentinel.Tests.Delivery;

namespace BackyardSentinel.Tests.Commands;

public sealed class CheckCommandTests : IDisposable
{
    private readonly DirectoryInfo _folder = Directory.CreateTempSubdirectory("garden-check-");

    public void Dispose() => _folder.Delete(recursive: true);

    [Fact]
    public void A_good_garden_ends_with_0_and_says_what_it_is_and_which_needs_are_taken_and_only_notes_beside_that()
    {
        var path = Path.Combine(GardenFixtures.Root, "config", "garden.yaml");
        var (code, output, error) = Check(path);
        Assert.Equal(0, code);
        Assert.StartsWith(
            $"{path} is good: 1 site, 4 series, 2 plantings\nembedded broker on port 1883, "
                + $"database {Path.Combine(GardenFixtures.Root, "config", "data", "sentinel.db")}; 2 notes\n",
            output,
            StringComparison.Ordinal);
        Assert.Contains("no chill_need given; 62.5 chill portions are taken, published for a nectarine", output, StringComparison.Ordinal);
        Assert.DoesNotContain(
            error.Split('\n'),
            l => l.StartsWith(path, StringComparison.Ordinal) && !l.Contains(": note: ", StringComparison.Ordinal));
    }

    [Fact]
    public void Notes_go_to_stderr_and_do_not_fail_the_check()
    {
        var (code, output, error) = Check(GardenFixtures.Scenario("good", "smallest.yaml"));
        Assert.Equal(0, code);
        Assert.Contains("; 2 notes\n", output, StringComparison.Ordinal);
        Assert.Contains(": note: ", error, StringComparison.Ordinal);
    }

    [Fact]
    public void A_broken_garden_ends_with_78_and_nothing_on_stdout()
    {
        var (code, output, error) = Check(GardenFixtures.Scenario("bad", "several-at-once.yaml"));
        Assert.Equal(ExitCode.BadConfiguration, code);
        Assert.Empty(output);
        Assert.EndsWith(
            "cannot be used: 8 errors to correct. Every key is explained in docs/garden-file.md.\n",
            error,
            StringComparison.Ordinal);
    }

    [Theory]
    [InlineData("template: '{{ title '", "The template of the destination phone is not a Liquid template")]
    [InlineData("template: '{% for i in (1..9) %}x{% endfor %}'", "The template of the destination phone has a range")]
    [InlineData("template_file: latin.liquid", "latin.liquid should hold the template of the destination phone, named by 'template_file', "
        + "but it is not UTF-8; save it as UTF-8.")]
    public void A_template_that_run_would_refuse_is_refused(string template, string fault)
    {
        File.WriteAllBytes(Path.Combine(_folder.FullName, "latin.liquid"), [.. "{{ title }} f"u8, 0xFC, (byte)'r']);
        var path = Path.Combine(_folder.FullName, "garden.yaml");
        File.WriteAllText(
            path,
            File.ReadAllText(GardenFixtures.Scenario("good", "smallest.yaml"))
                + "\nalerts:\n  send_to:\n    - id: phone\n      kind: webhook\n      url: https://push.example/\n      content: text\n"
                + $"      {template}\n");

        var (code, _, error) = Check(path);

        Assert.Equal(ExitCode.BadConfiguration, code);
        Assert.Contains(fault, error, StringComparison.Ordinal);
    }

    [Theory]
    [InlineData("url: file:KEPT", "push.example/secret-part", "The url of the destination phone, kept in file:")]
    [InlineData("secret: file:KEPT", "whsec_secret-part", "The secret of the destination phone is no webhook secret")]
    [InlineData("headers: [{name: Authorization, value: 'file:KEPT'}]", "secret-part\nsecond",
        "The header Authorization of the destination phone cannot")]
    public void A_kept_value_of_the_wrong_form_is_refused_and_not_shown(string key, string kept, string fault)
    {
        var file = Path.Combine(_folder.FullName, "kept");
        File.WriteAllText(file, kept);
        var path = Path.Combine(_folder.FullName, "garden.yaml");
        var url = key.StartsWith("url", StringComparison.Ordinal) ? "" : "      url: https://push.example/\n";
        File.WriteAllText(
            path,
            File.ReadAllText(GardenFixtures.Scenario("good", "smallest.yaml"))
                + $"\nalerts:\n  send_to:\n    - id: phone\n      kind: webhook\n{url}"
                + $"      {key.Replace("KEPT", file, StringComparison.Ordinal)}\n");

        var (code, output, error) = Check(path);

        Assert.Equal(ExitCode.BadConfiguration, code);
        Assert.Contains(fault, error, StringComparison.Ordinal);
        Assert.DoesNotContain("secret-part", output + error, StringComparison.Ordinal);
    }

    [Fact]
    public void Words_that_a_file_of_one_s_own_lacks_are_noted_as_lines_to_add_and_do_not_fail_the_check()
    {
        var words = Path.Combine(_folder.FullName, "own.liquid");
        File.WriteAllText(
            words,
            File.ReadAllText(Checkout.Path("src", "BackyardSentinel", "Delivery", "words.de.liquid"))
                .Replace("now.clear =", "now.klar =", StringComparison.Ordinal)
                .Replace("level.severe =", "level.schwer =", StringComparison.Ordinal));
        var path = Path.Combine(_folder.FullName, "garden.yaml");
        File.WriteAllText(
            path,
            File.ReadAllText(GardenFixtures.Scenario("good", "smallest.yaml")) + $"\nlanguage: de\nalerts:\n  words: {words}\n");

        var (code, output, error) = Check(path);

        Assert.Equal(ExitCode.Done, code);
        Assert.Contains("; 4 notes\n", output, StringComparison.Ordinal);
        Assert.Contains(
            $"note: {words} lacks 2 lines, for which the built-in words stand in (language: de); check shows what to add\n",
            error,
            StringComparison.Ordinal);
        Assert.Matches("(?m)^note: .* not used: 'level.schwer' in line [0-9]+, 'now.klar' in line [0-9]+; spell", error);
        Assert.EndsWith(
            $"Add this at the end of {words}, in words of your own:\n\n"
                + $"--- words\nlevel.severe = schwer\n--- page\nnow.clear = {WordsText.German.Words["page:now.clear"]}\n\n",
            error,
            StringComparison.Ordinal);
    }

    [Fact]
    public void A_missing_file_a_folder_a_huge_file_and_no_text_each_get_a_sentence()
    {
        var huge = Path.Combine(_folder.FullName, "huge.yaml");
        File.WriteAllBytes(huge, new byte[GardenText.LargestFile + 1]);
        var binary = Path.Combine(_folder.FullName, "binary.yaml");
        File.WriteAllBytes(binary, [0x6e, 0xff, 0xfe, 0x80]);
        AssertRefused(Path.Combine(_folder.FullName, "none.yaml"), "there is no such file");
        AssertRefused(_folder.FullName, "this is a folder");
        AssertRefused(huge, "larger than 1 MB");
        AssertRefused(binary, "not UTF-8 text");
    }

    [Fact]
    public void A_password_file_is_read_without_its_line_end()
    {
        var path = Path.Combine(_folder.FullName, "password");
        File.WriteAllText(path, "open sesame\n");
        Assert.True(SecretReference.Parse("file:" + path)!.TryResolve(out var value, out _));
        Assert.Equal("open sesame", value);
        Assert.False(SecretReference.Parse("file:" + path + "x")!.TryResolve(out _, out var reason));
        Assert.Equal($"there is no file {path}x", reason!.Text);
        Assert.Null(SecretReference.Parse("open sesame"));
    }

    private static void AssertRefused(string path, string why)
    {
        var (code, output, error) = Check(path);
        Assert.Equal(78, code);
        Assert.Empty(output);
        Assert.StartsWith($"{path}: ", error, StringComparison.Ordinal);
        Assert.Contains(why, error, StringComparison.Ordinal);
    }

    private static (int Code, string Output, string Error) Check(string path)
    {
        StringWriter output = new();
        StringWriter error = new();
        var code = CheckCommand.Create().Parse(["--garden", path]).Invoke(new InvocationConfiguration { Output = output, Error = error });
        return (code, output.ToString(), error.ToString());
    }
}
