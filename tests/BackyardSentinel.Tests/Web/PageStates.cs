using BackyardSentinel.Alerting;
using BackyardSentinel.Contract;
using BackyardSentinel.Infection;
using BackyardSentinel.Weather;
using BackyardSentinel.Web.SetUp;
using BackyardSentinel.Wording;

namespace BackyardSentinel.Web;

/// <summary>
/// Every state in which a page can stand, each as an invented garden whose readings lead there: for tests of what it says, for
/// browsers, and to be looked at.
/// </summary>
internal static class PageStates
{
    private const string Site = "south-wall", Peach = "white-peach", Nectarine = "gate-nectarine";

    /// <summary>08:20 of a spring day there.</summary>
    private static readonly DateTimeOffset Spring = new(2027, 3, 4, 7, 20, 0, TimeSpan.Zero);

    /// <summary>01:20 of the day on which a season begins there.</summary>
    private static readonly DateTimeOffset Autumn = new(2027, 8, 31, 23, 20, 0, TimeSpan.Zero);

    private static readonly JournalEntry[] Swollen =
    [
        new StageEntry(0, Site, Peach, new DateOnly(2027, 2, 26), 1),
        new StageEntry(0, Site, Nectarine, new DateOnly(2027, 2, 27), 1),
    ];

    private static readonly SprayEntry Copper = new(0, Site, Peach, new DateOnly(2027, 2, 24), "winter-copper", 7, At: new TimeOnly(11, 0));

    /// <summary>The states by name.</summary>
    public static IReadOnlyDictionary<string, PageGarden> All { get; } = new Dictionary<string, PageGarden>
    {
        ["first-day"] = new() { Now = Spring },
        ["winter"] = new()
        {
            Now = new DateTimeOffset(2027, 1, 25, 7, 20, 0, TimeSpan.Zero),
            Past = [.. Hourly(new DateTimeOffset(2027, 1, 25, 7, 0, 0, TimeSpan.Zero), 72 * 24, 3, 70)],
        },
        ["in-leaf"] = new()
        {
            Now = new DateTimeOffset(2026, 9, 20, 7, 20, 0, TimeSpan.Zero),
            Past = [.. Hourly(new DateTimeOffset(2026, 9, 20, 7, 0, 0, TimeSpan.Zero), 15 * 24, 16, 70)],
        },
        ["clear"] = InSpring(Dry(Spring, 60), forecast: true),
        ["broker-away"] = InSpring(Dry(Spring.AddHours(-2), 60)) with
        {
            LinkTrouble = new LinkTrouble(
                Spring.AddHours(-2),
                $"The computer {new Name("hub.lan")} refuses the connection to port {1883}. "
                    + $"Is the broker running, and is the port right?"),
        },
        ["building"] = InSpring([.. Dry(Spring.AddHours(-6), 48), .. Wet(Spring, 6, rainMm: 0.1)], forecast: true),
        ["possible"] = InSpring([.. Dry(Spring.AddHours(-14), 48), .. Wet(Spring, 14)]),
        ["likely"] = InSpring([.. Dry(Spring.AddHours(-32), 48), .. Wet(Spring, 32)]),
        ["severe"] = InSpring([.. Dry(Spring.AddHours(-60), 48), .. Wet(Spring, 60)]),
        ["covered"] = InSpring([.. Dry(Spring.AddHours(-14), 10 * 24), .. Wet(Spring, 14)], Copper),
        ["recheck"] = InSpring([.. Dry(Spring.AddHours(-60), 48), .. Wet(Spring, 60, rainMm: 0.12)], Copper),
        ["maybe"] = new() { Now = Spring, Past = [.. Dry(Spring.AddHours(-14), 48), .. Wet(Spring, 14)] },
        ["unknown"] = InSpring([.. Dry(Spring.AddHours(-5), 48)]),
        ["refused"] = InSpring([.. Dry(Spring.AddHours(-5), 48), .. Impossible(Spring, 5)]),
        ["rules"] = Spoken,
        ["sheltered"] = InSpring(
            [.. Dry(Spring.AddHours(-14), 48), .. Wet(Spring, 14)],
            new ShelterEntry(0, Site, Peach, new DateOnly(2027, 2, 20), IsOn: true),
            new ShelterEntry(0, Site, Nectarine, new DateOnly(2027, 2, 20), IsOn: true)),
        ["over"] = new()
        {
            Now = new DateTimeOffset(2027, 7, 20, 7, 20, 0, TimeSpan.Zero),
            Journal =
                [
                    .. Swollen,
                    new StageEntry(0, Site, Peach, new DateOnly(2027, 3, 10), 9),
                    new StageEntry(0, Site, Nectarine, new DateOnly(2027, 3, 10), 9),
                ],
            Past = [.. Hourly(new DateTimeOffset(2027, 7, 20, 7, 0, 0, TimeSpan.Zero), 12 * 24, 24, 55)],
        },
        ["late"] = InSpring(Dry(Spring, 60)) with { Now = Spring, Journal = [.. Swollen, .. LastYear] },
        ["told"] = InSpring([.. Dry(Spring.AddHours(-14), 48), .. Wet(Spring, 14)]) with { Told = [Message] },
        ["long-us"] = InSpring([.. Dry(Spring.AddHours(-14), 48), .. Wet(Spring, 14)]) with
        {
            File = PageGarden.InUsUnits(PageGarden.Wall)
                .Replace("variety: Cellar White", "name: Pesca bianca della parete sud presso la vecchia lavanderia\n"
                    + "        variety: Tardiva Bianca della Valle Inferiore", StringComparison.Ordinal)
                .Replace("name: The blue tub", "name: Poltiglia Azzurra del torchio dietro la cantina", StringComparison.Ordinal),
        },
        ["autumn"] = new()
        {
            Now = Autumn,
            Past = [.. Seasons(Autumn.AddMonths(-11), Autumn.AddMinutes(-20))],
            Journal = [.. Swollen, new ScoutEntry(0, Site, Peach, new DateOnly(2027, 4, 20), 20, 2, SymptomStage.Puckered)],
        },
        ["seasons"] = new()
        {
            Now = Spring,
            Past = [.. Seasons(new DateTimeOffset(2025, 9, 20, 0, 0, 0, TimeSpan.Zero), Spring.AddMinutes(-20))],
            Journal = [.. LastYear, .. Swollen, Copper],
        },
        ["to-mend"] = InSpring(Dry(Spring, 60)) with
        {
            Examine = _ => Task.FromResult(new SetUpLook(
                Spring,
                "/etc/backyard-sentinel/garden.yaml",
                GardenFileReader.ReadText("garden.yaml", PageGarden.Wall).Garden,
                [],
                [Sentence.InEnglish("Line 46: the figures of fixed-copper are only a beginning.")],
                new LinesToAdd("/etc/backyard-sentinel/words.liquid", "tree.next = Next"),
                [
                    new FoundThing($"clock", Finding.Wrong, $"This computer's clock says 1970-01-01.", $"Set it."),
                    new FoundThing($"broker keeps", Finding.Look, $"The broker forgets when it restarts.", $"Let it keep."),
                    new FoundThing($"disk", Finding.Fine, $"The disk of the store has 900 MB left.", null),
                ])
            {
                HasChanged = true,
            }),
        },
    };

    private static AlertMessage Message => new(
        "south-wall-white-peach-risk-20270303t220000z",
        "south-wall/white-peach/level",
        Site,
        [Peach],
        "level",
        Level.Possible,
        Urgency.High,
        Spring.AddHours(-2),
        Spring.AddHours(22),
        "Curl weather possible at south-wall",
        "Wet for 12 h, 4 mm, 9 °C. The leaf buds of white-peach are open.",
        AlertMessage.NoFacts);

    private static JournalEntry[] LastYear =>
    [
        new SprayEntry(0, Site, Peach, new DateOnly(2025, 11, 25), "winter-copper", 7),
        new StageEntry(0, Site, Peach, new DateOnly(2026, 3, 2), 1),
        new ScoutEntry(0, Site, Peach, new DateOnly(2026, 4, 25), 20, 5, SymptomStage.Puckered),
        new PickEntry(0, Site, Peach, new DateOnly(2026, 4, 26)),
    ];

    /// <summary>
    /// A year's course, hour by hour: 11 °C in the mean, 9 °C more or less by the season and 4 °C by the hour, and one day in sixteen
    /// wet.
    /// </summary>
    private static IEnumerable<ArrivedMessage> Seasons(DateTimeOffset from, DateTimeOffset until)
    {
        for (var at = from; at <= until; at = at.AddHours(1))
        {
            var air = 11 - (9 * Math.Cos((at.DayOfYear - 20) / 365.0 * Math.Tau)) - (4 * Math.Cos((at.Hour - 3) / 24.0 * Math.Tau));
            var isWet = at.DayOfYear % 16 == 0;
            yield return PageGarden.Message(
                "garden/climate",
                FormattableString.Invariant(
                    $"{{\"at\":{at.ToUnixTimeSeconds()},\"air\":{air:0.0},\"humidity\":{(isWet ? 97 : 66 + (at.Hour % 8))}}}"));
            yield return PageGarden.Message(
                "garden/rain", FormattableString.Invariant($"{{\"at\":{at.ToUnixTimeSeconds()},\"mm\":{(isWet ? 0.4 : 0)}}}"));
        }
    }

    /// <summary>
    /// A spring of two wet spells, looks after them, and two rules of the grower's own beside the published ones; trees and rules
    /// have long names.
    /// </summary>
    private static PageGarden Spoken => new()
    {
        File = PageGarden.Wall.Replace("name: the gate", "name: the old nectarine by the lower gate", StringComparison.Ordinal) + """

            rules:
              - name: wet-hours-wall
                variant_of: wet-hours
                wet_hours: 10
              - name: no-rain-day-without-a-second-one
                variant_of: rain-day
                rain: 14 mm
            """,
        Now = new DateTimeOffset(2027, 4, 12, 6, 20, 0, TimeSpan.Zero),
        Journal =
        [
            .. Swollen,
            new ScoutEntry(0, Site, Peach, new DateOnly(2027, 3, 26), 20, 3, SymptomStage.Puckered),
            new ScoutEntry(0, Site, Nectarine, new DateOnly(2027, 3, 26), 20, 0),
        ],
        Past = [.. SpringOfTwoSpells()],
    };

    private static IEnumerable<ArrivedMessage> SpringOfTwoSpells()
    {
        var end = new DateTimeOffset(2027, 4, 12, 6, 20, 0, TimeSpan.Zero);
        return
        [
            .. Dry(end.AddDays(-34), 48), .. Wet(end.AddDays(-33), 23, rainMm: 0.1), .. Dry(end.AddDays(-6).AddHours(-20), 26 * 24),
            .. Wet(end.AddDays(-6), 19), .. Dry(end, 143),
        ];
    }

    private static PageGarden InSpring(IEnumerable<ArrivedMessage> past, params JournalEntry[] also) => new()
    {
        Now = Spring,
        Past = [.. past],
        Journal = [.. Swollen, .. also],
    };

    private static PageGarden InSpring(IEnumerable<ArrivedMessage> past, bool forecast) => InSpring(past) with
    {
        Forecast = forecast
            ? new Forecast(
                "an invented office",
                Spring.AddHours(-2),
                [
                    .. Enumerable.Range(-1, 72).Select(hour => new ForecastHour(
                        new DateTimeOffset(2027, 3, 4, 7, 0, 0, TimeSpan.Zero).AddHours(hour),
                        8,
                        hour is >= 20 and < 30 ? 96 : 75,
                        hour is >= 20 and < 30 ? 0.6 : 0)),
                ],
                "Weather by an invented office",
                "CC BY 4.0")
            : null,
    };

    private static IEnumerable<ArrivedMessage> Dry(DateTimeOffset until, int hours) => PageGarden.Weather(until, hours, 6, 70);

    private static IEnumerable<ArrivedMessage> Wet(DateTimeOffset until, int hours, double rainMm = 0.06) =>
        PageGarden.Weather(until, hours, 8.9, 97, rainMm);

    /// <summary>A sensor that speaks each hour, for long times.</summary>
    internal static IEnumerable<ArrivedMessage> Hourly(DateTimeOffset until, int hours, double airC, double humidityPct)
    {
        for (var at = until.AddHours(-hours); at <= until; at = at.AddHours(1))
        {
            yield return PageGarden.Message(
                "garden/climate",
                FormattableString.Invariant($"{{\"at\":{at.ToUnixTimeSeconds()},\"air\":{airC},\"humidity\":{humidityPct}}}"));
        }
    }

    private static IEnumerable<ArrivedMessage> Impossible(DateTimeOffset until, int hours) => PageGarden.Weather(until, hours, 480, 300);
}
