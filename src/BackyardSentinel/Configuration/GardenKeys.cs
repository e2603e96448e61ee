namespace BackyardSentinel.Configuration;

/// <summary>Every key of the garden file. The reader, the schema, the documentation and the tests follow this table.</summary>
public static class GardenKeys
{
    private const string Identifier = "1 to 40 of a-z, 0-9 and '-', starting with a letter or digit";
    private const string YesNo = "true or false";
    private const string Address = "an address that starts with https:// or http://, file:PATH or env:NAME";
    private const string TimeOfDay = "a time of day such as \"22:00\"; both quiet keys or neither";
    private const string Percent = "a number from 0.01 to 100";
    private const string BbchCode = "a BBCH code from 0 to 97";
    private const string Degrees = "5 °C, 40 °F, or a number in °C (°F with units: us), from -20 °C to 50 °C";
    private const string RainDepth = "25 mm, 1 in, or a number in mm (inches with units: us), from 1 mm to 500 mm";
    private const string Wind = "5 km/h, 3 mph, 1.5 m/s and the like, up to 30 m/s";
    private const string UpToAWeek = "a duration from 0h to 168h";
    private const string UpToAYear = "a whole number from 0 to 365";
    private const string TwelveMonths =
        "a list of twelve temperatures in °C (°F with units: us) from -60 °C to 60 °C, January first; both climate keys or neither";
    private const string DegreeHours = "a number from 1 to 50000, rising from swell to petal_fall";

    /// <summary>The top of the file.</summary>
    public static GardenSection Garden { get; } =
        new(
            "garden",
            "the garden file",
            [
                new("name", "The garden's name in messages.", "Garden", "1 to 60 characters"),
                new(
                    "units",
                    "The units of everything you read and write: metric, or us for °F, inches, mph, square feet and gallons. Topics, JSON and CSV stay metric.",
                    "metric",
                    "metric or us")
                {
                    Words = ["metric", "us"],
                },
                new("broker", "The MQTT broker the sensors publish to.", "", "a map of keys"),
                new("store", "Where readings are kept.", "", "a map of keys"),
                new("sites", "The microclimates of the garden, each with its own sensors and trees.", "", "a list of at least one site")
                {
                    Required = true,
                },
                new(
                    "series",
                    "Sensors that every site has, beside its own; {site} in a topic stands for the site's id.",
                    "",
                    "a list of series"),
                new("products", "The spray products in the shed, with the figures of their labels.", "", "a list of products"),
                new("forecast", "Where the weather forecast comes from.", "", "a map of keys"),
                new("alerts", "Which alerts, when, to whom.", "", "a map of keys"),
            ]);

    /// <summary>Keys under <c>broker</c>.</summary>
    public static GardenSection Broker { get; } =
        new(
            "broker",
            "'broker'",
            [
                new(
                    "host",
                    "Name or address of the broker, without 'mqtt://' and without the port.",
                    "127.0.0.1",
                    "a host name or an address"),
                new("port", "The broker's TCP port.", "1883", "a whole number from 1 to 65535") { Least = 1, Most = 65535 },
                new("embedded", "Start a broker inside the program. It listens on this computer only.", "false", YesNo),
                new("username", "User name, if the broker asks for one.", "", "1 to 256 characters"),
                new("password", "Where the password is kept; never the password itself.", "", "file:PATH or env:NAME"),
                new("tls", "Encrypt the connection.", "false", YesNo),
                new(
                    "ca_file",
                    "Certificate (PEM) of the authority that signed the broker's, if the system does not know it.",
                    "",
                    "the path of a file"),
                new(
                    "client_id",
                    "The name under which the program connects; the broker keeps missed messages under it. Left out: sentinel- and eight digits of this computer and store.",
                    "",
                    "1 to 64 characters without spaces"),
                new(
                    "topic_root",
                    "First part of every topic the program publishes.",
                    "sentinel",
                    "an MQTT topic without '+' and '#', and without '/' at either end"),
                new("homie", "Show the service as a Homie 5 device too, so that home hubs find it by themselves.", "true", YesNo),
            ]);

    /// <summary>Keys under <c>store</c>.</summary>
    public static GardenSection Store { get; } =
        new(
            "store",
            "'store'",
            [
                new(
                    "path",
                    "The database file. A relative path starts at the folder of the garden file; below /etc, where no service may write, at /var/lib/backyard-sentinel instead.",
                    "data/sentinel.db",
                    "the path of a file"),
                new(
                    "commit_window",
                    "Readings are written together at least this often. Longer spares the memory card.",
                    "30s",
                    "a duration from 1s to 5m")
                {
                    Least = 1,
                    Most = 300,
                },
            ]);

    /// <summary>Keys of one entry of <c>sites</c>.</summary>
    public static GardenSection Site { get; } =
        new(
            "site",
            "a site",
            [
                new("id", "Short name used in topics.", "", Identifier) { Required = true },
                new("zone", "Time zone; local days are counted in it.", "UTC", "an IANA time zone such as Europe/Rome, or UTC"),
                new(
                    "latitude",
                    "Degrees north of the equator, south negative; the season and the sun follow from it.",
                    "",
                    "a number from -90 to 90, together with longitude")
                {
                    Least = -90,
                    Most = 90,
                },
                new("longitude", "Degrees east of Greenwich, west negative.", "", "a number from -180 to 180, together with latitude")
                {
                    Least = -180,
                    Most = 180,
                },
                new(
                    "altitude",
                    "Altitude above sea level in m (ft with units: us); the usual air pressure there goes into how fast spray dries.",
                    "",
                    "an altitude from -430 m to 5000 m")
                {
                    Least = -430,
                    Most = 5000,
                },
                new(
                    "soil_density",
                    "Bulk density of the soil in t/m³; the rise of copper in it is worked out with this.",
                    "1.3",
                    "a number from 0.1 to 2.65")
                {
                    Least = 0.1,
                    Most = 2.65,
                },
                new(
                    "climate_min",
                    "Usual mean daily minimum of each month, January first; tells bud swell ahead in the first year.",
                    "",
                    TwelveMonths)
                {
                    Least = -60,
                    Most = 60,
                },
                new("climate_max", "Usual mean daily maximum of each month, January first.", "", TwelveMonths) { Least = -60, Most = 60 },
                new("step", "Length of an interval in which weather is summed up.", "10m", "5m, 10m, 15m, 20m, 30m or 60m")
                {
                    Words = ["5m", "10m", "15m", "20m", "30m", "60m"],
                },
                new(
                    "hold",
                    "How long a temperature, humidity, wetness or wind reading stands for the weather until the next.",
                    "90m",
                    "a duration from 1m to 24h")
                {
                    Least = 60,
                    Most = 86400,
                },
                new("late_allowance", "How late a reading may arrive and still count in its interval.", "2m", "a duration from 1m to 60m")
                {
                    Least = 60,
                    Most = 3600,
                },
                new("start_on", "What starts a wet spell: rain only, or any wetness.", "rain", "rain or wet") { Words = ["rain", "wet"] },
                new(
                    "wet_humidity",
                    "Humidity in % at and above which leaves count as wet where no leaf-wetness sensor tells.",
                    "90",
                    "a number from 50 to 100")
                {
                    Least = 50,
                    Most = 100,
                },
                new(
                    "wetness_estimator",
                    "How wetness is judged where no leaf-wetness sensor tells.",
                    "humidity-threshold",
                    "humidity-threshold, extended-threshold, dew-point-depression or classification-tree")
                {
                    Words = ["humidity-threshold", "extended-threshold", "dew-point-depression", "classification-tree"],
                },
                new("unknown_after", "After how long without evidence the level turns to unknown.", "2h", "a duration from 10m to 48h")
                {
                    Least = 600,
                    Most = 172800,
                },
                new(
                    "level_rule",
                    "The infection rule that drives alerts; the others are second opinions.",
                    "wet-hours",
                    "wet-hours, rain-day or two-day")
                {
                    Words = ["wet-hours", "rain-day", "two-day"],
                },
                new(
                    "series",
                    "The site's sensors. Within a quantity the first in the list is preferred; those of all sites come after them.",
                    "",
                    "a list of series, at least one here or at the top of the file"),
                new("plantings", "The trees judged at this site.", "", "a list of plantings"),
            ]);

    /// <summary>Keys of one entry of <c>series</c>.</summary>
    public static GardenSection Series { get; } =
        new(
            "series",
            "a series",
            [
                new("quantity", "What the sensor measures.", "", "temperature, humidity, leaf-wetness, rain or wind-speed")
                {
                    Required = true,
                    Words = ["temperature", "humidity", "leaf-wetness", "rain", "wind-speed"],
                },
                new(
                    "name",
                    "Your name for the sensor, for the reader of messages. Left out: its topic and path.",
                    "",
                    "1 to 60 characters"),
                new(
                    "topic",
                    "The topic the sensor publishes to. A level {site} stands for the site's id.",
                    "",
                    "an MQTT topic without '+' and '#', not starting with '$'")
                {
                    Required = true,
                },
                new(
                    "shape",
                    "How a message arranges its values: json, which is a bare number too; senml, a SenML pack; text, a line with several values.",
                    "json",
                    "json, senml or text")
                {
                    Words = ["json", "senml", "text"],
                },
                new(
                    "path",
                    "Where the number is in a JSON message, or the name of a SenML record or of a value in a text. Left out: the message is the number.",
                    "",
                    "a path such as air.temp or values[0] or '[\"air temp\"]', log[*].t for each entry of a list, or parts[id=air].t for one"),
                new(
                    "time",
                    "Where the reading's time is in the message. Left out: the time of arrival counts.",
                    "",
                    "a path such as time or data.ts or log[*].at"),
                new(
                    "zone",
                    "The time zone of the sensor's times, where they do not tell it. Left out: such times are not taken.",
                    "",
                    "an IANA time zone such as Europe/Rome, or UTC"),
                new(
                    "unit",
                    "The unit the sensor reports in; one that stands in the message counts before it. Left out: °C, %, mm, m/s, or raw for leaf wetness.",
                    "",
                    "temperature: °C, °F, K (or C, F); humidity: %, fraction; rain: mm, in, and mm/h, in/h with counts: rate; wind-speed: m/s, km/h, mph, kn; leaf-wetness: count, %, mV, raw, min, wet-dry")
                {
                    Words =
                    [
                        "°C", "°F", "K", "C", "F", "%", "fraction", "mm", "in", "mm/h", "in/h", "m/s", "km/h", "mph", "kn",
                        "count", "mV", "raw", "min", "wet-dry",
                    ],
                },
                new(
                    "unit_path",
                    "Where the unit stands in a JSON message. Left out: looked for behind the number and under 'unit' beside it.",
                    "",
                    "a path such as units.air"),
                new("scale", "The number is multiplied by this first.", "1", "a number other than 0"),
                new("offset", "This is added after scale, in the sensor's unit.", "0", "a number"),
                new(
                    "counts",
                    "Rain only: whether each message holds the rain since the last one, a total that grows until it is reset, or the rate at which it rains.",
                    "each",
                    "each, total or rate")
                {
                    Words = ["each", "total", "rate"],
                },
                new(
                    "rolls_over_at",
                    "Rain totals only: the number, as sent, at which the counter begins again at 0, such as 65536. Left out: it never does.",
                    "",
                    "a number above 0")
                {
                    Least = double.Epsilon,
                    Most = 1e12,
                },
                new(
                    "left_out",
                    "What it means, as the sensor would send it, when a message leaves the number out. Left out: nothing.",
                    "",
                    "a number, mostly 0"),
                new(
                    "no_reading",
                    "Numbers, as sent, that mean no reading, such as -127 or 65535.",
                    "",
                    "a list of numbers"),
                new("decimal_comma", "The sensor writes 12,5 for twelve and a half.", "false", YesNo),
                new(
                    "wet_words",
                    "Leaf wetness only: the words for a wet leaf. Left out: wet, true, on and yes.",
                    "",
                    "a list of words, together with dry_words"),
                new(
                    "dry_words",
                    "Leaf wetness only: the words for a dry leaf. Left out: dry, false, off and no.",
                    "",
                    "a list of words, together with wet_words"),
                new(
                    "every",
                    "Leaf wetness with unit: min only: the time that the wet minutes are counted over.",
                    "",
                    "a duration from 1m to 60m")
                {
                    Least = 60,
                    Most = 3600,
                },
                new("wet_on", "Leaf wetness only: the value, after scale and offset, at which the leaf counts as wet.", "50", "a number"),
                new(
                    "wet_off",
                    "Leaf wetness only: the value past which the leaf is dry again. Left out beside wet_on: the same as wet_on.",
                    "20",
                    "a number, not above wet_on (with inverted: not below it)"),
                new("inverted", "Leaf wetness only: the value falls when the leaf is wet. Needs wet_on.", "false", YesNo),
                new(
                    "under_shelter",
                    "Leaf wetness only: the sensor hangs under the rain shelter. It counts for sheltered plantings only, and no other sensor does.",
                    "false",
                    YesNo),
            ]);

    /// <summary>Keys of one entry of <c>plantings</c>.</summary>
    public static GardenSection Planting { get; } =
        new(
            "planting",
            "a planting",
            [
                new("id", "Short name used in topics.", "", Identifier) { Required = true },
                new("name", "Your name for it, for the reader of messages. Left out: its id.", "", "1 to 60 characters"),
                new("kind", "The kind of tree.", "", "peach, nectarine, almond or apricot")
                {
                    Required = true,
                    Words = ["peach", "nectarine", "almond", "apricot"],
                },
                new("variety", "The variety's name, for the reader of messages.", "", "1 to 60 characters"),
                new(
                    "stage",
                    "The bud stage: followed through the journal, and computed from chill and heat where the journal is silent; a BBCH code that holds throughout; or always: judged as open to infection the whole year.",
                    "followed",
                    "followed, always, or a BBCH code from 0 to 97")
                {
                    Least = 0,
                    Most = 97,
                },
                new("chill_model", "How winter chill is counted.", "portions", "portions, utah, positive-utah or hours")
                {
                    Words = ["portions", "utah", "positive-utah", "hours"],
                },
                new(
                    "chill_need",
                    "Chill that ends the buds' rest, in units of chill_model. The default holds for portions only, and is 28 for almond and 56 for apricot.",
                    "62.5",
                    "a number from 1 to 2000, required with a chill_model other than portions")
                {
                    Least = 1,
                    Most = 2000,
                },
                new("heat_function", "How heat is counted after that.", "linear-4.7", "asymcur, linear-4.5 or linear-4.7")
                {
                    Words = ["asymcur", "linear-4.5", "linear-4.7"],
                },
                new(
                    "heat_needs",
                    "Heat to each stage. Left out with linear-4.7: the needs published for one nectarine.",
                    "",
                    "a map of keys, required with a heat_function other than linear-4.7"),
                new("trees", "How many trees stand here.", "1", "a whole number from 1 to 999") { Least = 1, Most = 999 },
                new(
                    "canopy_area",
                    "Ground under all the crowns together; copper per area is worked out with it.",
                    "",
                    "12 m², 300 sq ft, or a number in m² (square feet with units: us), from 0.1 m² to 10000 m²")
                {
                    Least = 0.1,
                    Most = 10_000,
                },
                new("spray_volume", "Spray that wets the whole planting once.", "", "5 L, 2 gal and the like, from 0.1 L to 10000 L")
                {
                    Least = 0.1,
                    Most = 10_000,
                },
                new("had_curl_last_spring", "The trees had leaf curl in the spring before the journal began.", "false", YesNo),
            ]);

    /// <summary>Keys under <c>heat_needs</c> of a planting.</summary>
    public static GardenSection HeatNeeds { get; } =
        new(
            "heat_needs",
            "'heat_needs'",
            [
                new("swell", "Degree hours to bud swell, BBCH 01 and 51.", "", DegreeHours)
                {
                    Required = true,
                    Least = 1,
                    Most = 50_000,
                },
                new("green_tip", "Degree hours to green leaf tips, BBCH 09.", "", DegreeHours)
                {
                    Required = true,
                    Least = 1,
                    Most = 50_000,
                },
                new("first_bloom", "Degree hours to the first open flowers, BBCH 60.", "", DegreeHours)
                {
                    Required = true,
                    Least = 1,
                    Most = 50_000,
                },
                new("petal_fall", "Degree hours to the end of bloom, BBCH 69.", "", DegreeHours)
                {
                    Required = true,
                    Least = 1,
                    Most = 50_000,
                },
            ]);

    /// <summary>Keys of one entry of <c>products</c>.</summary>
    public static GardenSection Product { get; } =
        new(
            "product",
            "a product",
            [
                new("id", "Short name used in the journal.", "", Identifier) { Required = true },
                new("name", "Your name for it, for the reader of messages.", "", "1 to 60 characters"),
                new(
                    "template",
                    "Generic figures to start from; keys given here replace them. Check every figure against your label.",
                    "",
                    "fixed-copper, copper-soap, bordeaux, lime-sulfur or dormant-oil")
                {
                    Words = ["fixed-copper", "copper-soap", "bordeaux", "lime-sulfur", "dormant-oil"],
                },
                new(
                    "active",
                    "The active substance on the label. Required without template.",
                    "",
                    "copper-hydroxide, copper-oxychloride, copper-sulfate, cuprous-oxide, copper-octanoate, tribasic-copper-sulfate, copper-diammine-acetate, bordeaux, copper, lime-sulfur, sulfur, oil, captan, chlorothalonil or other")
                {
                    Words =
                    [
                        "copper-hydroxide",
                        "copper-oxychloride",
                        "copper-sulfate",
                        "cuprous-oxide",
                        "copper-octanoate",
                        "tribasic-copper-sulfate",
                        "copper-diammine-acetate",
                        "bordeaux",
                        "copper",
                        "lime-sulfur",
                        "sulfur",
                        "oil",
                        "captan",
                        "chlorothalonil",
                        "other",
                    ],
                },
                new("content", "Content of the active compound in % by weight.", "", Percent) { Least = 0.01, Most = 100 },
                new("copper", "Content of metallic copper in % by weight; labels say 'metallic copper equivalent'.", "", Percent)
                {
                    Least = 0.01,
                    Most = 100,
                },
                new(
                    "density",
                    "Weight of a volume of the product, of a powder too; needed to work out copper where the dose is a volume.",
                    "",
                    "a number in kg/L, 9.5 lb/gal, 0.4 oz/tbsp, 12 g/tbsp and the like, from 0.1 to 3 kg/L")
                {
                    Least = 0.1,
                    Most = 3,
                },
                new(
                    "dose",
                    "Amount of product for an amount of water.",
                    "",
                    "7.5 g/L, 10 mL/L, 1 oz/gal, 2 fl oz/gal, 1 1/2 tbsp/gal, 10 lb/100 gal and the like, up to 500 g or mL in a litre"),
                new("max_applications", "Most applications in a season.", "", "a whole number from 1 to 50") { Least = 1, Most = 50 },
                new("max_copper", "Most metallic copper in a season.", "", "4 kg/ha, 3.6 lb/acre and the like, from 0.01 to 100 kg/ha")
                {
                    Least = 0.01,
                    Most = 100,
                },
                new("days_between", "Fewest days between two applications.", "", UpToAYear) { Least = 0, Most = 365 },
                new("first_stage", "First bud stage at which it may be used; leaf-bud or flower-bud code.", "", BbchCode)
                {
                    Least = 0,
                    Most = 97,
                },
                new("last_stage", "Last bud stage at which it may be used; leaf-bud or flower-bud code.", "", BbchCode)
                {
                    Least = 0,
                    Most = 97,
                },
                new("min_temperature", "Lowest air temperature while spraying.", "", Degrees) { Least = -20, Most = 50 },
                new("max_temperature", "Highest air temperature while spraying.", "", Degrees) { Least = -20, Most = 50 },
                new("dry_before", "Time without rain before spraying.", "", UpToAWeek) { Least = 0, Most = 604_800 },
                new("dry_after", "Time without rain after spraying.", "", UpToAWeek) { Least = 0, Most = 604_800 },
                new("frost_free_before", "Time without frost before spraying.", "", UpToAWeek) { Least = 0, Most = 604_800 },
                new("frost_free", "Time without frost after spraying.", "", UpToAWeek) { Least = 0, Most = 604_800 },
                new("wind_min", "Least wind while spraying.", "", Wind) { Least = 0, Most = 30 },
                new("wind_max", "Most wind while spraying.", "", Wind) { Least = 0, Most = 30 },
                new("not_on", "Kinds of tree it must not be used on.", "", "a list of peach, nectarine, almond and apricot")
                {
                    Words = ["peach", "nectarine", "almond", "apricot"],
                },
                new("reentry", "How long people and pets stay away after spraying.", "", "a duration from 0h to 720h")
                {
                    Least = 0,
                    Most = 2_592_000,
                },
                new("days_before_harvest", "Days between the last application and harvest.", "", UpToAYear) { Least = 0, Most = 365 },
                new(
                    "days_from_oil",
                    "Days between an oil and a sulfur, captan or chlorothalonil product, either way round. Left out on both: 30 for sulfur, 14 for the others.",
                    "",
                    UpToAYear)
                {
                    Least = 0,
                    Most = 365,
                },
                new("recheck_rain", "Rain since the spray from which a copper's cover should be looked at.", "25 mm", RainDepth)
                {
                    Least = 1,
                    Most = 500,
                },
                new(
                    "spent_rain",
                    "Rain since the spray from which a copper's cover counts as gone.",
                    "50 mm",
                    RainDepth + ", not below recheck_rain")
                {
                    Least = 1,
                    Most = 500,
                },
            ]);

    /// <summary>Keys under <c>forecast</c>.</summary>
    public static GardenSection Forecast { get; } =
        new(
            "forecast",
            "'forecast'",
            [
                new(
                    "kind",
                    "http: an address asked now and again; mqtt: a topic of the broker; file: a file that something else writes.",
                    "",
                    "http, mqtt or file")
                {
                    Required = true,
                    Words = ["http", "mqtt", "file"],
                },
                new("url", "http only: the address. Required there; keep it elsewhere if it holds a key.", "", Address),
                new("topic", "mqtt only: the topic. Required there.", "", "an MQTT topic without '+' and '#', not starting with '$'"),
                new("path", "file only: the file. Required there.", "", "the path of a file"),
                new("every", "http and file: how often it is read.", "60m", "a duration from 30m to 24h") { Least = 1800, Most = 86_400 },
                new(
                    "contact",
                    "http only: where the source can reach you; sent along with each request. Required there.",
                    "",
                    "1 to 128 ASCII characters without brackets and backslash, such as a mail address"),
                new("headers", "http only: headers of the request, such as a key that the source asks for.", "", "a list of headers"),
                new(
                    "source",
                    "The name of the office or service it comes from, for the reader of messages.",
                    "forecast",
                    "1 to 60 characters"),
                new("attribution", "The credit line the source asks for; it is shown beside the forecast.", "", "1 to 256 characters"),
                new("licence", "The licence the source names.", "", "1 to 256 characters"),
                new("allow_private", "http only: the address may lie in your own network.", "false", YesNo),
                new(
                    "shape",
                    "How the source arranges its numbers. Left out together with quantities: the program's own form.",
                    "",
                    "columns, records, layers, list or senml, together with quantities")
                {
                    Words = ["columns", "records", "layers", "list", "senml"],
                },
                new(
                    "rows",
                    "Where the rows are: the list, or what holds the columns or layers. Left out: the message itself.",
                    "",
                    "a path such as series or body.rows"),
                new(
                    "time",
                    "Where the time is: of the list of times with columns, within a row elsewhere. Not with senml.",
                    "time",
                    "a path such as time or valid.from"),
                new("value", "layers only: where the value is within an entry.", "value", "a path such as value"),
                new("zone", "Zone of times that are written without an offset.", "", "an IANA time zone such as Europe/Rome, or UTC"),
                new("issued", "Where the time of issue is. Left out: the time of reading counts.", "", "a path such as head.made"),
                new("quantities", "What is read, together with shape.", "", "a list of quantities"),
            ]);

    /// <summary>Keys of one entry of <c>quantities</c> of the forecast.</summary>
    public static GardenSection ForecastQuantity { get; } =
        new(
            "forecast_quantity",
            "a quantity of the forecast",
            [
                new("quantity", "What is forecast.", "", "temperature, humidity, rain, rain-probability, wind-speed or cloud")
                {
                    Required = true,
                    Words = ["temperature", "humidity", "rain", "rain-probability", "wind-speed", "cloud"],
                },
                new(
                    "path",
                    "Where the number is: within a row; with columns and layers of the list, within rows; with senml the record's full name.",
                    "",
                    "a path such as temperature or ahead.rain; with senml a name")
                {
                    Required = true,
                },
                new(
                    "unit",
                    "The unit of the numbers. Left out: °C, %, mm, m/s.",
                    "",
                    "temperature: °C, °F, K (or C, F); humidity, rain-probability, cloud: %, fraction; rain: mm, in; wind-speed: m/s, km/h, mph, kn")
                {
                    Words = ["°C", "°F", "K", "C", "F", "%", "fraction", "mm", "in", "m/s", "km/h", "mph", "kn"],
                },
                new(
                    "unit_path",
                    "Where the source tells the unit itself; it goes before unit. Not with senml.",
                    "",
                    "a path from the top of the message, such as units.rain"),
                new("scale", "The number is multiplied by this first.", "1", "a number other than 0"),
                new(
                    "kind",
                    "What a number stands for. Left out: sum for rain, instant for everything else.",
                    "",
                    "instant or mean; for rain: sum")
                {
                    Words = ["instant", "mean", "sum"],
                },
                new(
                    "period",
                    "mean and sum only: whether the hours before or after its time are meant, or those up to the next. Required there, but not with layers and senml.",
                    "",
                    "previous, next or interval")
                {
                    Words = ["previous", "next", "interval"],
                },
                new("hours", "previous and next only: how many hours.", "1", "a number from 0.25 to 240") { Least = 0.25, Most = 240 },
            ]);

    /// <summary>Keys under <c>alerts</c>.</summary>
    public static GardenSection Alerts { get; } =
        new(
            "alerts",
            "'alerts'",
            [
                new("least_level", "The lowest level of which a message tells.", "possible", "building, possible, likely or severe")
                {
                    Words = ["building", "possible", "likely", "severe"],
                },
                new(
                    "max_per_day",
                    "Most messages on one day; what is above it is summed up the next morning.",
                    "6",
                    "a whole number from 1 to 50")
                {
                    Least = 1,
                    Most = 50,
                },
                new("quiet_from", "Start of the quiet hours, in the site's time zone; messages wait for their end.", "", TimeOfDay),
                new("quiet_to", "End of the quiet hours.", "", TimeOfDay),
                new("severe_in_quiet", "Tell a severe level in quiet hours too.", "false", YesNo),
                new("words", "A file with words of your own for the messages.", "", "the path of a file"),
                new(
                    "heartbeat",
                    "An address fetched at a steady pace, so that a watcher elsewhere notices when this computer falls silent.",
                    "",
                    Address),
                new("heartbeat_every", "The heartbeat's pace.", "60m", "a duration from 5m to 24h") { Least = 300, Most = 86_400 },
                new("send_to", "Who gets alerts.", "", "a list of destinations"),
            ]);

    /// <summary>Keys of one entry of <c>send_to</c>.</summary>
    public static GardenSection Receiver { get; } =
        new(
            "destination",
            "a destination",
            [
                new("id", "Short name used in messages.", "", Identifier) { Required = true },
                new(
                    "kind",
                    "webhook: an HTTP request; topic: an MQTT message under topic_root; dry-run: written to the log and sent nowhere.",
                    "",
                    "webhook, topic or dry-run")
                {
                    Required = true,
                    Words = ["webhook", "topic", "dry-run"],
                },
                new("url", "Webhook only: where to send. Required there; keep it elsewhere if it holds a key.", "", Address),
                new(
                    "content",
                    "Webhook only: the standard JSON body, or one made from a template.",
                    "standard",
                    "standard, text, json or form")
                {
                    Words = ["standard", "text", "json", "form"],
                },
                new(
                    "template",
                    "Webhook only: the body's template. With json and form this or template_file is required.",
                    "",
                    "1 to 8192 characters; '|' and indented lines below it for several lines"),
                new("template_file", "Webhook only: a file with the body's template.", "", "the path of a file"),
                new("headers", "Webhook only: headers of the request.", "", "a list of headers"),
                new(
                    "secret",
                    "Webhook only: where the key is that requests are signed with; never the key itself.",
                    "",
                    "file:PATH or env:NAME"),
                new("allow_private", "Webhook only: the address may lie in your own network.", "false", YesNo),
                new("useful_for", "How long a message is worth sending when the way is broken.", "24h", "a duration from 1h to 72h")
                {
                    Least = 3600,
                    Most = 259_200,
                },
            ]);

    /// <summary>Keys of one entry of <c>headers</c>.</summary>
    public static GardenSection Header { get; } = new("header", "a header", [
        new("name", "The header's name.", "", "1 to 64 letters, digits, '-' or '_'") { Required = true },
        new("value", "Its value; keep it elsewhere if it is a key.", "", "ASCII text, file:PATH or env:NAME") { Required = true },
    ]);

    /// <summary>All parts, top first.</summary>
    public static IReadOnlyList<GardenSection> Sections { get; } =
    [Garden, Broker, Store, Site, Series, Planting, HeatNeeds, Product, Forecast, ForecastQuantity, Alerts, Receiver, Header];
}
