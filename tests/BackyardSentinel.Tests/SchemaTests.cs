using System.Text.Json;
using System.Text.Json.Nodes;
using BackyardSentinel.Commands.Replay;
using BackyardSentinel.Contract;
using BackyardSentinel.Delivery;
using BackyardSentinel.Forecasts;
using BackyardSentinel.Sensors;
using BackyardSentinel.Tests.Commands;
using BackyardSentinel.Watching;
using BackyardSentinel.Weather;
using Json.Schema;

namespace BackyardSentinel.Tests;

/// <summary>
/// What the program really writes satisfies docs/schemas, judged by a general validator of JSON Schema 2020-12 (JsonSchema.Net).
/// </summary>
public sealed class SchemaTests
{
    private static readonly DateTimeOffset Begin = new(2027, 3, 3, 0, 0, 0, TimeSpan.Zero);

    private static readonly Dictionary<string, JsonSchema> Schemas = Directory
        .EnumerateFiles(Checkout.Path("docs", "schemas"), "*.schema.json")
        .ToDictionary(
            path => Path.GetFileName(path).Replace(".schema.json", "", StringComparison.Ordinal),
            path => SchemaOf(File.ReadAllText(path)),
            StringComparer.Ordinal);

    private static readonly Site South = new()
    {
        Id = "south-wall",
        Plantings = [new Planting("white-peach", Stage: 9), new Planting("gate-nectarine", TreeKind.Nectarine)],
    };

    /// <summary>A schema in a register of its own: the ids of ours may be read by several tests at once.</summary>
    internal static JsonSchema SchemaOf(string text) =>
        JsonSchema.FromText(text, new BuildOptions { SchemaRegistry = new SchemaRegistry() });

    /// <summary>Whether a document satisfies the schema of this name.</summary>
    internal static bool Holds(string schema, string text) =>
        Schemas[schema].Evaluate(JsonSerializer.SerializeToElement(JsonNode.Parse(text))).IsValid;

    private static void Satisfies(string schema, ReadOnlySpan<byte> bytes)
    {
        var text = Encoding.UTF8.GetString(bytes);
        Assert.True(Holds(schema, text), $"{schema}: {text}");
    }

    private static void Satisfies(string schema, string text) => Satisfies(schema, Encoding.UTF8.GetBytes(text));

    [Theory]
    [InlineData(true, true)]
    [InlineData(false, true)]
    [InlineData(true, false)]
    public void Risk_and_weather_of_a_wet_spell_and_a_silence_satisfy_their_schemas(bool gauge, bool journal)
    {
        var watch = new SiteWatch(South with { HasRainGauge = gauge }, _ => { }, journal ? [] : null);
        var levels = new HashSet<string>();
        void Look()
        {
            foreach (var planting in South.Plantings)
            {
                var risk = TopicJson.Risk(watch, planting);
                Satisfies("risk", risk);
                levels.Add(JsonDocument.Parse(risk).RootElement.GetProperty("level").GetString()!);
            }

            if (TopicJson.Weather(watch) is { } weather) Satisfies("weather", weather);
        }

        Look();
        for (var minute = 0; minute < 48 * 60; minute += 10)
        {
            var at = Begin.AddMinutes(minute);
            if (minute < 36 * 60)
            {
                watch.Accept(new Reading(Quantity.Temperature, at, 9), at);
                // The humidity sensor is late, so that a dew point is missing at first.
                if (minute >= 60) watch.Accept(new Reading(Quantity.Humidity, at, minute is > 300 and < 1800 ? 97 : 60), at);
                if (gauge) watch.Accept(new Reading(Quantity.Rain, at, minute is > 300 and < 600 ? 0.4 : 0), at);
            }

            watch.AdvanceTo(at);
            Look();
        }

        Assert.Superset(new HashSet<string> { "unknown", "clear", "building" }, levels);
        Assert.Contains(levels, level => level is "possible" or "likely" or "severe");
    }

    [Fact]
    public void The_state_and_the_alert_path_satisfy_their_schemas()
    {
        var presence = LinkGreeting.Presence(new BrokerOptions());
        Satisfies("state", presence.Birth(Begin).Span);
        Satisfies("state", presence.Goodbye(Begin).Span);
        Satisfies("state", presence.Will.Span);
        Satisfies("alert-path", TopicJson.AlertPath(false, Begin, null));
        Satisfies("alert-path", TopicJson.AlertPath(true, Begin, Begin));
        foreach (var state in Enum.GetValues<InfluxState>())
            Satisfies("influx", TopicJson.Influx(new InfluxTopic(state, Begin, null, 0, null, 3)));
    }

    [Fact]
    public void Alerts_of_every_kind_satisfy_the_schemas_of_topic_and_webhook()
    {
        foreach (var alert in ExampleAlerts.OfEveryKind())
        {
            var message = AlertWords.English().Say(alert, _ => TimeZoneInfo.Utc).For(alert);
            Satisfies("alert", AlertJson.Write(message));
            Satisfies("alert-webhook", AlertJson.WriteStandardBody(message));
        }
    }

    [Theory]
    [InlineData("""{"episode":"a/b","kind":"seen"}""")]
    [InlineData("""{"episode":"a/b","kind":"later","for":"6h"}""")]
    [InlineData("""{"episode":"a/b","kind":"later","for":"720h"}""")]
    [InlineData("""{"episode":"a/b","kind":"later","for":"43200m"}""")]
    [InlineData("""{"episode":"a/b","kind":"later","for":"721h"}""")]
    [InlineData("""{"episode":"a/b","kind":"later","for":"43201m"}""")]
    [InlineData("""{"episode":"a/b","kind":"later","for":"0h"}""")]
    [InlineData("""{"episode":"a/b","kind":"later"}""")]
    [InlineData("""{"episode":"","kind":"seen"}""")]
    [InlineData("""{"episode":"a/b","kind":"forget"}""")]
    public void The_schema_of_an_answer_takes_what_the_reader_takes(string text) =>
        Assert.Equal(AnswerPayload.Read(Encoding.UTF8.GetBytes(text)).Answer is not null, Holds("answer", text));

    [Fact]
    public void A_forecast_written_in_the_programs_form_satisfies_its_schema()
    {
        Satisfies(
            "forecast",
            ForecastJson.Write(new Forecast("Weir Office", Begin, [new ForecastHour(Begin, 2.5, 91, 0.4, null, 1.5, 100)], null, null)));
        foreach (var name in new[] { "january", "july", "half-missing" })
            Satisfies("forecast", File.ReadAllText(Path.Combine(PlanRun.Root, "shared", name + ".json")));
    }

    [Fact]
    public void A_replay_with_a_journal_satisfies_its_schema()
    {
        using var folder = new LogFolder();
        var path = folder.File(LogFolder.Text(30) + "soon,1,2,3\n");
        JournalEntry[] journal = [new StageEntry(1, "log", "planting", new DateOnly(2027, 1, 20), 9)];
        using var output = new MemoryStream();
        var result = Replay.Run(LogFolder.Site, [path], LogFolder.Hourly, journal: journal);
        ReplayJson.Write(result, output);
        Assert.NotEmpty(result.Windows);
        Assert.NotEmpty(result.Rejected);
        Satisfies("replay", output.ToArray());
    }

    [Fact]
    public void A_replay_with_a_spray_moved_satisfies_its_schema()
    {
        using var folder = new LogFolder();
        var site = LogFolder.Site with
        {
            Products = [new SprayProduct { Id = "copper", Name = "copper", Active = ActiveIngredient.CopperHydroxide }],
        };
        var result = Replay.Run(site, [folder.File(LogFolder.Text(30))], LogFolder.Hourly, journal: []);
        Assert.True(SprayMove.TryMake(site, [], new DateOnly(2027, 2, 1), null, null, out var move, out _));
        using var output = new MemoryStream();
        ReplayJson.Write(result with { If = WhatIfAnswer.Of(move!, result, result) }, output);
        Satisfies("replay", output.ToArray());
        Assert.Single(JsonDocument.Parse(output.ToArray()).RootElement.GetProperty("what_if").GetProperty("windows").EnumerateArray());
    }

    [Fact]
    public void Plans_of_every_scenario_satisfy_their_schema()
    {
        foreach (var scenario in PlanRun.Scenarios) Satisfies("plan", PlanRun.Run([.. PlanRun.Arguments(scenario), "--json"]).Output);
    }

    [Fact]
    public void An_explanation_satisfies_its_schema()
    {
        using var garden = new ExplainGarden();
        garden.Weather(Begin, Begin.AddHours(30), 9, 97, 0.5);
        Satisfies("explain", garden.Explain(Begin.AddHours(20), "--json").Output);
        Satisfies("explain", garden.Explain(Begin.AddDays(3), "--json").Output);
    }

    [Fact]
    public void Journal_entries_of_every_kind_satisfy_their_schema()
    {
        var entries = BackyardSentinel.Tests.Storage.JournalBookTests.EveryKind.Select(row => row.Data);
        Satisfies("journal", $"{{\"entries\":[{string.Join(',', entries.Select(JournalJson.Write))}]}}");
    }

    [Theory]
    [InlineData(""" "kind":"stage" """)]
    [InlineData(""" "kind":"stage","code":100 """)]
    [InlineData(""" "kind":"stage","code":1,"product":"copper" """)]
    [InlineData(""" "kind":"spray","product":"copper" """)]
    [InlineData(""" "kind":"spray","product":"copper","volume_l":"5" """)]
    [InlineData(""" "kind":"spray","product":"copper","volume_l":5,"at":"25:00" """)]
    [InlineData(""" "kind":"scout","shoots":20,"curled":2,"symptom":"bent" """)]
    [InlineData(""" "kind":"leaf-fall","fallen_pct":101 """)]
    [InlineData(""" "kind":"shelter","shelter":"half" """)]
    [InlineData(""" "kind":"prune" """)]
    public void A_journal_entry_that_lacks_a_field_or_has_one_of_another_kind_is_refused(string fields) =>
        Assert.False(
            Holds("journal", $$"""{"entries":[{"number":1,"on":"2027-02-03","site":"a","planting":"b",{{fields}}}]}"""));

    public static TheoryData<string, string> Good => new()
    {
        { "risk", Encoding.UTF8.GetString(TopicJson.Risk(new SiteWatch(South, _ => { }), South.Plantings[0])) },
        { "state", """{"state":"watching","since":"2027-03-03T00:00:00Z"}""" },
        { "alert-path", Encoding.UTF8.GetString(TopicJson.AlertPath(true, Begin, null)) },
        { "influx", Encoding.UTF8.GetString(TopicJson.Influx(new InfluxTopic(InfluxState.Waiting, Begin, Begin, 12, "503", 0))) },
        { "alert", Encoding.UTF8.GetString(AlertJson.Write(Example)) },
        { "alert-webhook", Encoding.UTF8.GetString(AlertJson.WriteStandardBody(Example)) },
        { "answer", """{"episode":"a/b","kind":"later","for":"6h"}""" },
        {
            "forecast",
            Encoding.UTF8.GetString(
                ForecastJson.Write(
                    new Forecast("Weir Office", Begin, [new ForecastHour(Begin, 2.5, 91, 0.4, null, 1.5, 100)], null, null)))
        },
        { "plan", PlanRun.Run([.. PlanRun.Arguments("without-a-forecast"), "--json"]).Output },
    };

    private static AlertMessage Example
    {
        get
        {
            var alert = ExampleAlerts.OfEveryKind()[0];
            return AlertWords.English().Say(alert, _ => TimeZoneInfo.Utc).For(alert);
        }
    }

    [Theory]
    [MemberData(nameof(Good))]
    public void A_missing_key_an_extra_key_and_a_wrong_value_are_refused(string schema, string text)
    {
        Satisfies(schema, text);
        JsonObject Fresh() => JsonNode.Parse(text)!.AsObject();
        var extra = Fresh();
        extra["colour"] = "green";
        Assert.False(Holds(schema, extra.ToJsonString()), "extra key");
        foreach (var key in Fresh().Select(pair => pair.Key).Where(key => key is not ("attribution" or "licence" or "mix")))
        {
            var without = Fresh();
            without.Remove(key);
            Assert.False(Holds(schema, without.ToJsonString()), $"without {key}");
            var wrong = Fresh();
            wrong[key] = new JsonArray(true);
            Assert.False(Holds(schema, wrong.ToJsonString()), $"wrong {key}");
        }
    }

    [Fact]
    public void Every_schema_has_an_id_of_its_own_and_asks_in_no_branch_for_a_key_it_does_not_describe()
    {
        foreach (
            var path in Directory.EnumerateFiles(Checkout.Path("docs", "schemas")).Append(Checkout.Path("config", "garden.schema.json")))
        {
            var schema = JsonNode.Parse(File.ReadAllText(path))!;
            Assert.EndsWith("/" + Path.GetFileName(path), schema["$id"]!.GetValue<string>(), StringComparison.Ordinal);
            Described(schema, Path.GetFileName(path));
        }

        // What strict validators ask of a schema: a required key is described where it is required.
        static void Described(JsonNode? node, string where)
        {
            if (node is JsonArray list)
            {
                foreach (var item in list)
                    Described(item, where);
            }

            if (node is not JsonObject part)
                return;
            if (part["required"] is JsonArray needed && needed.All(key => key is JsonValue))
                Assert.All(
                    needed,
                    key => Assert.True(part["properties"]?.AsObject().ContainsKey(key!.GetValue<string>()), $"{where}: {key}"));
            foreach (var (_, child) in part.Where(pair => pair.Key != "not"))
                Described(child, where);
        }
    }

    [Theory]
    [InlineData("risk", "\"level\":\"unknown\"", "\"level\":\"calm\"")]
    [InlineData("risk", "\"level_number\":-1", "\"level_number\":0")]
    [InlineData("state", "watching", "asleep")]
    [InlineData("alert-path", "dead", "tired")]
    [InlineData("influx", "waiting\"", "idle\"")]
    [InlineData("alert", "level-risen", "level-sunk")]
    [InlineData("alert-webhook", "\"urgency\":\"high\"", "\"urgency\":\"shrill\"")]
    [InlineData("plan", "\"cover\": \"none\"", "\"cover\": \"thick\"")]
    public void A_wrong_word_is_refused(string schema, string right, string wrong)
    {
        var text = Good.Select(row => row.Data).Single(row => row.Item1 == schema).Item2;
        var broken = text.Replace(right, wrong, StringComparison.Ordinal);
        Assert.NotEqual(text, broken);
        Assert.False(Holds(schema, broken));
    }
}
