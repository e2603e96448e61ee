using System.CommandLine;
using System.Text.Json;
using BackyardSentinel.Commands;
using BackyardSentinel.Commands.Refused;
using BackyardSentinel.Wording;

namespace BackyardSentinel.Tests.Commands;

public sealed class RefusedCommandTests : IDisposable
{
    private static readonly DateTimeOffset Ten = ExplainGarden.Utc(2027, 3, 4, 10, 2);

    private readonly ExplainGarden _garden = new();

    public void Dispose() => _garden.Dispose();

    private (int Code, string Output) Refused(params string[] options)
    {
        StringWriter output = new();
        var code = RefusedCommand
            .Create()
            .Parse(["--garden", _garden.Garden, .. options])
            .Invoke(new InvocationConfiguration { Output = output, Error = output });
        return (code, output.ToString());
    }

    private void Keep(params QuarantinedMessage[] messages)
    {
        using var store = SentinelStore.Open(_garden.Store);
        var batch = new StoreBatch();
        batch.Quarantine.AddRange(messages);
        store.Commit(batch);
    }

    private static long Microseconds(DateTimeOffset moment) => moment.ToUnixTimeMilliseconds() * 1000;

    private static QuarantinedMessage Message(string topic, string reason, int minute, string payload, double? value = null) =>
        new(topic, Sentence.InEnglish(reason), Microseconds(Ten.AddMinutes(minute)), System.Text.Encoding.UTF8.GetBytes(payload))
        {
            Value = value,
        };

    [Fact]
    public void It_lists_the_newest_first_with_local_time_reason_value_and_what_was_sent()
    {
        Keep(
            Message("garden/temperature", "temperature cannot be", 0, "77", 77),
            Message("garden/humidity", "\"wet\" is not a number", 5, "wet"),
            Message("garden/temperature", "temperature cannot be", 9, "78", 78));
        Assert.Equal(
            (0, """
                2027-03-04 11:11  garden/temperature, 2 times since 2027-03-04 11:02
                    temperature cannot be (last 78.0)
                    sent: "78"
                2027-03-04 11:07  garden/humidity
                    "wet" is not a number
                    sent: "wet"

                """),
            Refused());
        Assert.Contains("1 older ones are not shown; '--limit 2' shows them.", Refused("--limit", "1").Output, StringComparison.Ordinal);
        Assert.DoesNotContain("garden/humidity", Refused("--topic", "garden/temperature").Output, StringComparison.Ordinal);
        Assert.Equal(ExitCode.Done, Refused("--json").Code);
    }

    [Fact]
    public void Its_json_satisfies_its_schema_whatever_bytes_were_sent()
    {
        Keep(
            Message("garden/temperature", "temperature cannot be", 0, "77", 77),
            new QuarantinedMessage("x", $"odd", Microseconds(Ten), [0xFF, 0x00, 0x1B]));
        var schema = SchemaTests.SchemaOf(File.ReadAllText(Checkout.Path("docs", "schemas", "refused.schema.json")));
        var told = JsonDocument.Parse(Refused("--json").Output).RootElement;
        Assert.True(schema.Evaluate(told).IsValid);
        Assert.Equal(2, told.GetProperty("count").GetInt32());
    }

    [Fact]
    public void Before_the_service_has_run_it_says_so_and_makes_no_store()
    {
        Assert.Contains("nothing was refused", Refused().Output, StringComparison.Ordinal);
        Assert.False(File.Exists(_garden.Store));
    }

    [Fact]
    public void Explain_tells_a_value_that_came_and_was_refused_instead_of_asking_for_the_topic()
    {
        _garden.Weather(Ten.AddHours(-6), Ten.AddHours(-1), 9).Weather(Ten, Ten.AddMinutes(1), _ => 77, silent: [Quantity.Rain]);
        var (_, output, _) = _garden.Explain(Ten.AddHours(1));
        var flat = string.Join(' ', output.Split((char[]?)null, StringSplitOptions.RemoveEmptyEntries));
        Assert.Contains(
            "Temperature 77.0 came at 2027-03-04 11:02, which cannot be: -60 to 60 °C are taken; is the unit °F?",
            flat,
            StringComparison.Ordinal);
        Assert.DoesNotContain("no temperature has come", flat, StringComparison.Ordinal);
    }

    [Fact]
    public void Explain_tells_a_message_that_came_and_could_not_be_read()
    {
        _garden.Weather(Ten.AddHours(-6), Ten, 9, silent: [Quantity.Humidity]);
        Keep(Message("garden/humidity", "\"wet\" is not a number", -5, "wet"));
        var flat = string.Join(' ', _garden.Explain(Ten).Output.Split((char[]?)null, StringSplitOptions.RemoveEmptyEntries));
        Assert.Contains(
            "A message came on garden/humidity at 2027-03-04 10:57, but no humidity could be read from it: \"wet\" is not a number.",
            flat,
            StringComparison.Ordinal);
        Assert.DoesNotContain("is its topic right", flat, StringComparison.Ordinal);
    }

    [Fact]
    public void Explain_with_nothing_but_refused_values_says_what_they_were()
    {
        _garden.Weather(Ten, Ten.AddMinutes(1), _ => 77, silent: [Quantity.Rain, Quantity.Humidity]);
        Assert.Contains("Temperature 77.0 came at", _garden.Explain(Ten.AddHours(1)).Error, StringComparison.Ordinal);
    }
}
