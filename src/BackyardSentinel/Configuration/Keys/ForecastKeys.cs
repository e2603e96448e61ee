using BackyardSentinel.Forecasts;
using static BackyardSentinel.Configuration.Keys.Forms;

namespace BackyardSentinel.Configuration.Keys;

/// <summary>The keys of the forecast.</summary>
public static class ForecastKeys
{
    private static readonly ForecastQuantity[] Quantities = Enum.GetValues<ForecastQuantity>();
    private static readonly string Rain = ForecastQuantity.Rain.Word();

    private static readonly string Http = ForecastWay.Http.Word();
    private static readonly string Mqtt = ForecastWay.Mqtt.Word();
    private static readonly string File = ForecastWay.File.Word();

    /// <summary>Keys under <c>forecast</c>.</summary>
    public static GardenSection Forecast { get; } = new("forecast", $"'forecast'", [
        new(
            "kind",
            OneOf(Enum.GetValues<ForecastWay>().Select(ForecastWayWords.Word)),
            "http: an address asked now and again; mqtt: a topic of the broker; file: a file that something else writes.")
        {
            Required = true,
        },
        new("url", Address, "http only: the address. Required there; keep it elsewhere if it holds a key."),
        new("topic", Topic, "mqtt only: the topic. Required there."),
        new("path", FilePath, "file only: the file. Required there."),
        new("every", Duration("30m", "24h"), "http and file: how often it is read.", "60m"),
        new(
            "contact",
            Text(128, $"1 to 128 ASCII characters without brackets and backslash, such as a mail address", @"^[^()\\]+$"),
            "http only: where the source can reach you; sent along with each request. Required there."),
        new(
            "headers",
            List("header", $"a list of headers"),
            "http only: headers of the request, such as a key that the source asks for."),
        new("source", Text(60), "The name of the office or service it comes from, for the reader of messages.", "forecast"),
        new("attribution", Text(256), "The credit line the source asks for; it is shown beside the forecast."),
        new("licence", Text(256), "The licence the source names."),
        new("allow_private", YesNo, "http only: the address may lie in your own network.", "false"),
        new(
            "shape",
            OneOf(Enum.GetValues<ForecastShape>().Select(ForecastShapeWords.Word)).And($", together with quantities"),
            "How the source arranges its numbers. Left out together with quantities: the program's own form."),
        new(
            "rows",
            JsonPath($"such as series or body.rows"),
            "Where the rows are: the list, or what holds the columns or layers. Left out: the message itself."),
        new(
            "time",
            JsonPath($"such as time or valid.from"),
            "Where the time is: of the list of times with columns, within a row elsewhere. Not with senml.",
            "time"),
        new("value", JsonPath($"such as value"), "layers only: where the value is within an entry.", "value"),
        new("zone", Zone, "Zone of times that are written without an offset."),
        new("issued", JsonPath($"such as head.made"), "Where the time of issue is. Left out: the time of reading counts."),
        new("quantities", List("forecast_quantity", $"a list of quantities"), "What is read, together with shape."),
    ])
    {
        Rules =
        [
            new OnlyWith("kind", [Http], "url", "contact", "headers", "allow_private"),
            new OnlyWith("kind", [Mqtt], "topic"),
            new OnlyWith("kind", [File], "path"),
            new OnlyWith("kind", [Http, File], "every"),
            new NeededWith("kind", [Http], "url"),
            new NeededWith("kind", [Http], "contact"),
            new NeededWith("kind", [Mqtt], "topic"),
            new NeededWith("kind", [File], "path"),
            new Together("shape", "quantities"),
            .. new[] { "rows", "time", "value", "zone", "issued" }.Select(key => new Needs(key, "shape")),
            new OnlyWith("shape", [ForecastShape.Layers.Word()], "value"),
            new OnlyWith(
                "shape",
                [.. Enum.GetValues<ForecastShape>().Where(shape => shape != ForecastShape.Senml).Select(ForecastShapeWords.Word)],
                "time"),
        ],
    };

    /// <summary>Keys of one entry of <c>quantities</c> of the forecast.</summary>
    public static GardenSection Quantity { get; } = new("forecast_quantity", $"a quantity of the forecast", [
        new("quantity", OneOf(Quantities.Select(ForecastQuantityWords.Word)), "What is forecast.") { Required = true },
        new(
            "path",
            Text(256, $"a path such as temperature or ahead.rain; with senml a name"),
            "Where the number is: within a row; with columns and layers of the list, within rows; with senml the record's full name.")
        {
            Required = true,
        },
        new(
            "unit",
            UnitWord.Form(Quantities.Select(quantity => (quantity.Word(), UnitWord.Of(ForecastUnit.Written(quantity))))),
            "The unit of the numbers. Left out: °C, %, mm, m/s."),
        new(
            "unit_path",
            JsonPath($"from the top of the message, such as units.rain"),
            "Where the source's own unit is; it overrides unit. Not with senml."),
        new("scale", NonZero, "The number is multiplied by this first.", "1"),
        new(
            "kind",
            new WordForm($"instant or mean; for rain: sum", [.. Enum.GetValues<ForecastKind>().Select(ForecastKindWords.Word)]),
            "What a number means. Left out: sum for rain, instant for everything else."),
        new(
            "period",
            OneOf(Enum.GetValues<ForecastPeriod>().Select(ForecastPeriodWords.Word)),
            "mean and sum only: whether the hours before or after its time are meant, or those up to the next. Required there, "
                + "but not with layers and senml."),
        new("hours", Number(0.25, 240), "previous and next only: how many hours.", "1"),
    ])
    {
        Rules =
        [
            .. Quantities.Select(quantity =>
                new WordsWith(
                    "quantity",
                    [quantity.Word()],
                    "unit",
                    UnitWord.TextsOf(UnitWord.Of(ForecastUnit.Written(quantity))))),
            new WordsWith("quantity", [Rain], "kind", [ForecastKind.Sum.Word()]),
            new WordsWith(
                "quantity",
                [.. Quantities.Select(ForecastQuantityWords.Word).Where(word => word != Rain)],
                "kind",
                [ForecastKind.Instant.Word(), ForecastKind.Mean.Word()]),
        ],
    };
}
