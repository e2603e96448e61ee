using System.CommandLine;
using System.Text.Json;
using BackyardSentinel.Commands.Listen;
using BackyardSentinel.Contract;

namespace BackyardSentinel.Tests.Sensors;

/// <summary>
/// What the command listen makes of a message of which nothing is known: each value with the keys that a series would need, what
/// the series gives, and what is not proposed, with the reason.
/// </summary>
public sealed class UnknownMessageTests : IDisposable
{
    private static readonly FakeTimeProvider Six = new(new DateTimeOffset(2027, 3, 1, 6, 0, 0, TimeSpan.Zero));

    private readonly string _garden = Path.GetTempFileName();

    public UnknownMessageTests() => File.WriteAllText(
        _garden,
        "broker: { topic_root: elsewhere, homie: false }\nsites:\n  - id: yard\n    zone: Europe/London\n    series:\n"
            + "      - { quantity: temperature, topic: beside/t }\n      - { quantity: humidity, topic: beside/h }\n");

    public void Dispose() => File.Delete(_garden);

    private ListenDocument Heard(string payload, string topic = "garden/air")
    {
        StringWriter output = new(CultureInfo.InvariantCulture), error = new(CultureInfo.InvariantCulture);
        var code = ListenCommand.Create(Six)
            .Parse(["--garden", _garden, "--topic", topic, $"--payload={payload}", "--json"])
            .Invoke(new InvocationConfiguration { Output = output, Error = error, EnableDefaultExceptionHandler = false });
        Assert.True(code == 0, error.ToString());
        return JsonSerializer.Deserialize(output.ToString(), ContractJson.Printed.ListenDocument)!;
    }

    private static string Told(ListenDocument document) => string.Concat(
        document.Proposed.Select(Told)
            .Concat(document.Others.Select(one => string.Create(CultureInfo.InvariantCulture, $"not {one.Path}={one.Last}: {one.Reason}")))
            .Select(line => $"    {line}\n"));

    private static string Told(ProposedSeries one)
    {
        var keys = one.Block.TrimEnd().Split('\n').Select(line => line.TrimStart('-', ' ')).Where(
            line => !line.StartsWith("topic:", StringComparison.Ordinal));
        return string.Create(CultureInfo.InvariantCulture, $"{string.Join("; ", keys)} -> {one.Last} = {one.Gives}")
            + string.Concat(one.Doubts.Select(doubt => $" ({doubt})"));
    }

    /// <summary>The messages of the record, each with what comes of it; \0, \n and \t are spelt out.</summary>
    [Fact]
    public void Each_message_gives_what_is_on_record()
    {
        var record = Checkout.Path("tests", "payloads", "unknown.txt");
        var told = new StringBuilder();
        foreach (var message in File.ReadAllLines(record).Where(line => !line.StartsWith("    ", StringComparison.Ordinal)))
        {
            var payload = message.Replace("\\0", "\0", StringComparison.Ordinal)
                .Replace("\\n", "\n", StringComparison.Ordinal)
                .Replace("\\t", "\t", StringComparison.Ordinal);
            told.Append(message).Append('\n').Append(Told(Heard(payload)));
        }

        // Read every one of them before committing.
        if (Environment.GetEnvironmentVariable("BACKYARD_SENTINEL_WRITE_MESSAGES") == "1")
            File.WriteAllText(record, told.ToString());
        Assert.Equal(File.ReadAllText(record), told.ToString());
    }

    [Theory]
    [InlineData(11, 1)]
    [InlineData(12, 0)]
    public void A_value_below_more_than_twelve_levels_is_not_looked_for(int above, int found)
    {
        var payload = string.Concat(Enumerable.Repeat("{\"a\":", above)) + "{\"temp\":9}" + new string('}', above);
        Assert.Equal(found, Heard(payload).Proposed.Count);
    }

    [Fact]
    public void Of_a_list_twenty_entries_are_looked_at_and_of_a_message_a_hundred_values()
    {
        Assert.Equal(19, Heard($"{{\"temp\":[{Numbers(19)}]}}").Proposed.Count);
        Assert.Equal(
            Enumerable.Range(0, 20).Select(i => $"temp[{i}]"), Heard($"{{\"temp\":[{Numbers(21)}]}}").Proposed.Select(one => one.Path));
        Assert.Equal(99, Values(99));
        Assert.Equal(100, Values(100));
        Assert.Equal(100, Values(101));
        Assert.Equal(100, Heard(string.Join(';', Enumerable.Range(0, 101).Select(i => $"temp{i}=9"))).Proposed.Count);

        static string Numbers(int count) => string.Join(',', Enumerable.Repeat("9", count));
        int Values(int count) => Heard($"{{{string.Join(',', Enumerable.Range(0, count).Select(i => $"\"temp{i}\":9"))}}}").Proposed.Count;
    }

    [Fact]
    public void What_is_longer_than_any_path_text_or_name_is_passed_over()
    {
        // A path of 200 characters, and one more; a text of 64, and one more.
        Assert.Single(Heard($"{{\"{new string('a', 195)}\":{{\"temp\":9}}}}").Proposed);
        Assert.Empty(Heard($"{{\"{new string('a', 196)}\":{{\"temp\":9}}}}").Proposed);
        Assert.Single(Heard($"{{\"temp\":\"9.{new string('0', 62)}\"}}").Proposed);
        Assert.Empty(Heard($"{{\"temp\":\"9.{new string('0', 63)}\"}}").Proposed);
        // A name of 60 names the entry of a list, a longer one does not.
        Assert.Equal(
            [$"[k={new string('n', 60)}].temp", "[k=s].temp"],
            Heard($"[{{\"k\":\"{new string('n', 60)}\",\"temp\":9}},{{\"k\":\"s\",\"temp\":8}}]").Proposed.Select(one => one.Path));
        Assert.Equal(
            ["[0].temp", "[1].temp"],
            Heard($"[{{\"k\":\"{new string('n', 61)}\",\"temp\":9}},{{\"k\":\"s\",\"temp\":8}}]").Proposed.Select(one => one.Path));
    }

    [Fact]
    public void What_is_too_large_or_too_deep_says_so()
    {
        Assert.Single(Heard("{\"temp\":9}" + new string(' ', (256 * 1024) - 10)).Proposed);
        Assert.Equal("262145 bytes are more than the 262144 that are read", Reason("{\"temp\":9}" + new string(' ', (256 * 1024) - 9)));
        Assert.Equal("the JSON holds no number", Reason(new string('[', 64) + new string(']', 64)));
        Assert.Equal("the JSON is nested deeper than 64 levels", Reason(new string('[', 65) + new string(']', 65)));
        Assert.Equal("the message is empty", Reason(" "));

        string Reason(string payload) => Assert.Single(Heard(payload).Others).Reason;
    }
}
