using BackyardSentinel.Weather;

namespace BackyardSentinel.Web;

/// <summary>
/// Every state in which the page Now can stand, each as an invented garden whose readings lead there: for tests of what it says, for
/// browsers, and to be looked at.
/// </summary>
internal static class PageStates
{
    private const string Site = "south-wall", Peach = "white-peach", Nectarine = "gate-nectarine";

    /// <summary>08:20 of a spring day there.</summary>
    private static readonly DateTimeOffset Spring = new(2027, 3, 4, 7, 20, 0, TimeSpan.Zero);

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
        ["clear"] = InSpring(Dry(Spring, 60), forecast: true),
        ["building"] = InSpring([.. Dry(Spring.AddHours(-6), 48), .. Wet(Spring, 6, rainMm: 0.1)], forecast: true),
        ["possible"] = InSpring([.. Dry(Spring.AddHours(-14), 48), .. Wet(Spring, 14)]),
        ["likely"] = InSpring([.. Dry(Spring.AddHours(-32), 48), .. Wet(Spring, 32)]),
        ["severe"] = InSpring([.. Dry(Spring.AddHours(-60), 48), .. Wet(Spring, 60)]),
        ["covered"] = InSpring([.. Dry(Spring.AddHours(-14), 48), .. Wet(Spring, 14)], Copper),
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
    };

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
    private static IEnumerable<ArrivedMessage> Hourly(DateTimeOffset until, int hours, double airC, double humidityPct)
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
