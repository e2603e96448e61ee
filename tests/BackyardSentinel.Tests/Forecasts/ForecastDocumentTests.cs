using System.Text.Json;
using System.Text.RegularExpressions;
using BackyardSentinel.Tests;
using YamlDotNet.Serialization;

namespace BackyardSentinel.Forecasts;

/// <summary>The examples of docs/forecast.md do what they say.</summary>
public sealed partial class ForecastDocumentTests
{
    private static readonly DateTimeOffset Now = new(2027, 2, 1, 5, 30, 0, TimeSpan.Zero);

    [GeneratedRegex("```yaml\n(.*?)```\n\n```json\n(.*?)```\n\n```text\n(.*?)```", RegexOptions.Singleline)]
    private static partial Regex Example();

    [GeneratedRegex("## Our own form.*?```json\n(.*?)```", RegexOptions.Singleline)]
    private static partial Regex OwnForm();

    private static string Document => File.ReadAllText(Checkout.Path("docs", "forecast.md"));

    [Fact]
    public void Each_example_gives_the_hours_that_stand_below_it()
    {
        var examples = Example().Matches(Document);
        Assert.Equal(Enum.GetNames<ForecastShape>().Length, examples.Count);
        Assert.All(
            examples,
            example =>
            {
                var yaml = new DeserializerBuilder()
                    .WithAttemptingUnquotedStringTypeDeserialization()
                    .Build()
                    .Deserialize<object>(example.Groups[1].Value);
                var map = new SerializerBuilder().JsonCompatible().Build().Serialize(yaml);

                var result = ForecastReader.Read(
                    Encoding.UTF8.GetBytes(example.Groups[2].Value),
                    ForecastFixture.ReadMap(JsonDocument.Parse(map).RootElement),
                    Now);

                Assert.Null(result.Reason);
                Assert.Empty(result.Remarks);
                Assert.Equal(
                    example.Groups[3].Value.TrimEnd(),
                    string.Join(
                        '\n',
                        result.Forecast!.Hours.Select(hour =>
                            $"{hour.Start.ToString("HH:mm", CultureInfo.InvariantCulture)} "
                                + $"{Shown(hour.TemperatureC),-4} {Shown(hour.RainMm)}")));
            });
    }

    [Fact]
    public void The_example_of_our_own_form_is_read() =>
        Assert.Equal(
            100,
            Assert.Single(ForecastJson.Read(Encoding.UTF8.GetBytes(OwnForm().Match(Document).Groups[1].Value)).Forecast!.Hours).CloudPct);

    private static string Shown(double? value) => value?.ToString("0.0", CultureInfo.InvariantCulture) ?? "-";
}
