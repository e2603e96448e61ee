using System.Text.Encodings.Web;
using System.Text.Json;
using System.Text.Json.Serialization;
using BackyardSentinel.Weather;

namespace BackyardSentinel.Contract;

/// <summary>
/// Every JSON document that leaves the program: names in snake_case, figures by <see cref="FigureConverter"/>, moments in UTC by
/// <see cref="MomentConverter"/>, words as the core spells them. A document is a record with a <see cref="SchemaFileAttribute"/>
/// and a line here; its schema in docs/schemas is written from both.
/// </summary>
[JsonSourceGenerationOptions(
    PropertyNamingPolicy = JsonKnownNamingPolicy.SnakeCaseLower,
    GenerationMode = JsonSourceGenerationMode.Metadata,
    RespectNullableAnnotations = true,
    RespectRequiredConstructorParameters = true,
    Converters =
    [
        typeof(FigureConverter),
        typeof(MomentConverter),
        typeof(ClockConverter),
        typeof(LevelConverter),
        typeof(CoverConverter),
        typeof(RuleConverter),
        typeof(QuantityConverter),
        typeof(StageSourceConverter),
        typeof(BudStateConverter),
        typeof(SymptomConverter),
        typeof(DueTaskConverter),
        typeof(UrgencyConverter),
        typeof(NameConverter<ListedState>),
        typeof(NameConverter<ListedAnswer>),
        typeof(NameConverter<ShelterWord>),
        typeof(WetnessStateConverter),
        typeof(NameConverter<ServiceState>),
        typeof(NameConverter<AlertPathState>),
        typeof(NameConverter<InfluxState>),
        typeof(SurenessConverter),
        typeof(NameConverter<RainCount>),
        typeof(NameConverter<Finding>),
    ])]
[JsonSerializable(typeof(RiskTopic))]
[JsonSerializable(typeof(WeatherTopic))]
[JsonSerializable(typeof(StateTopic))]
[JsonSerializable(typeof(AlertPathTopic))]
[JsonSerializable(typeof(InfluxTopic))]
[JsonSerializable(typeof(PlanDocument))]
[JsonSerializable(typeof(ReplayDocument))]
[JsonSerializable(typeof(TuneDocument))]
[JsonSerializable(typeof(FitDocument))]
[JsonSerializable(typeof(ExplainDocument))]
[JsonSerializable(typeof(RefusedDocument))]
[JsonSerializable(typeof(JournalDocument))]
[JsonSerializable(typeof(CapturedMessage))]
[JsonSerializable(typeof(AlertListDocument))]
[JsonSerializable(typeof(ListenDocument))]
[JsonSerializable(typeof(ExamineDocument))]
[JsonSerializable(typeof(AlertMessage))]
[JsonSerializable(typeof(WebhookBody))]
[JsonSerializable(typeof(GardenDocument))]
[JsonSerializable(typeof(ProblemDocument))]
public sealed partial class ContractJson : JsonSerializerContext
{
    /// <summary>The same documents as commands print them: indented, letters as they are, lines that end alike on every system.</summary>
    public static ContractJson Printed => field ??= new(new JsonSerializerOptions(Default.Options) // Default may be set after a field here.
    {
        WriteIndented = true,
        NewLine = "\n",
        Encoder = JavaScriptEncoder.UnsafeRelaxedJsonEscaping,
    });
}
