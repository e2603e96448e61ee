using System.Text;
using BackyardSentinel.Spraying;
using static BackyardSentinel.Tests.Planning.SprayGarden;

namespace BackyardSentinel.Tests.Planning;

/// <summary>
/// Plans put down whole: what is due, refused and unfit, the slots with their worth and their reasons, and the one sentence, for
/// changing weather of an invented fortnight. tests/scenarios/plans has them; read what has changed before committing.
/// </summary>
public class PlanRecordTests
{
    private static readonly Dictionary<string, Func<PlanRequest>> Plans = new(StringComparer.Ordinal)
    {
        ["bare"] = () => Of(Bare()),
        ["bare-seen-in-us-units"] = () => Of(Bare()) with { Units = BackyardSentinel.Units.UnitSystem.Us },
        ["oil"] = () => Of(Bare(), Oil, Spray(1, "2026-12-28", "lime-sulfur")),
        ["lime-sulfur-after-oil"] = () => Of(Bare(), LimeSulfur, Spray(1, "2026-12-28", "oil")),
        ["lime-sulfur-near-the-early-date"] = () => Of(
            Bare() with { BudSwell = Swell with { Early = new(2027, 1, 24) } }, LimeSulfur),
        ["stage-not-known"] = () => Of(Bare(stage: null), LimeSulfur),
        ["swelling"] = () => Of(Bare(stage: 1)),
        ["in-leaf"] = () => Of(Bare(stage: 11)),
        ["curl-last-spring"] = () => Of(Bare() with { CurlLastSpring = true }),
        ["wet-winter-leaves-falling"] = () => Of(
            Bare() with { LeafFall = new LeafFallEntry(1, "south-wall", Peach, new(2026, 12, 28), 40), BudSwell = null }) with
        {
            RainLast60DaysMm = 162,
        },
        ["leaves-down"] = () => Of(
            Bare() with
            {
                CurlLastSpring = true,
                LeafFall = new LeafFallEntry(1, "south-wall", Peach, new(2026, 12, 30), 80),
                BudSwell = Swell with { Early = new(2027, 3, 20) },
            }),
        ["early-date-passed"] = () => Of(Bare() with { BudSwell = Swell with { Early = new(2027, 1, 15) } }),
        ["sprayed-and-washed"] = () => Of(Bare() with { Cover = Cover.Spent, CoverRainMm = 61.4 }, Copper, Spray(1, "2027-01-04")),
        ["sprayed-and-to-be-looked-at"] = () => Of(
            Bare() with { Cover = Cover.Recheck, CoverRainMm = 31 }, Copper, Spray(1, "2027-01-04")),
        ["label"] = () => Of(
            Bare() with { SprayVolumeL = 5 },
            Copper with
            {
                Label = new LabelLimit
                {
                    MinDaysBetween = 20,
                    MaxApplicationsPerSeason = 3,
                    MaxCopperKgPerHaPerSeason = 25,
                    MinTemperatureC = 4,
                    MaxTemperatureC = 16,
                    DryBeforeH = 3,
                    DryAfterH = 8,
                    FrostFreeBeforeH = 5,
                    FrostFreeAfterH = 7,
                    MinWindMs = 1,
                    MaxWindMs = 3.5,
                },
            },
            Spray(1, "2027-01-04")),
        ["used-up"] = () => Of(
            Bare(),
            Copper with { Label = new LabelLimit { MaxApplicationsPerSeason = 1, FirstStage = 1, LastStage = 3 } },
            Spray(1, "2026-11-20")),
        ["shelter"] = () => Of(Bare() with { UsesShelter = true }),
        ["shelter-up"] = () => Of(Bare() with { ShelteredSince = new(2026, 12, 1), UsesShelter = true }),
        ["no-record-of-the-past"] = () => Of(Bare()) with { ObservedRain = null, ObservedAir = null },
        ["no-place"] = () => Of(Bare()) with { SunElevationDeg = null },
        ["no-forecast"] = () => Of(Bare()) with { Forecast = null },
    };

    public static TheoryData<string> Names => [.. Plans.Keys];

    [Theory]
    [MemberData(nameof(Names))]
    public void A_plan_is_as_it_was_put_down(string name)
    {
        var told = Told(Plans[name](), withUnfit: name is "bare" or "label" or "no-place" or "no-record-of-the-past");
        var path = Path.Combine(OutsideData.Scenarios("plans"), name + ".txt");
        if (Environment.GetEnvironmentVariable("BACKYARD_SENTINEL_WRITE") == "1")
            File.WriteAllText(path, told);

        Assert.Equal(File.ReadAllText(path).ReplaceLineEndings("\n"), told);
    }

    /// <summary>Weather that comes by each limit from both sides: cold and warm, dry and damp, calm and windy, and showers.</summary>
    private static ForecastHour Changing(int hour) => new(
        Now.AddHours(hour),
        Math.Round(10 + (6 * Math.Sin((hour - 3) * Math.PI / 12)) + (6 * Math.Sin(hour * Math.PI / 60)), 1),
        hour == 214 ? null : Math.Round(Math.Clamp(62 - (24 * Math.Sin((hour - 3) * Math.PI / 12)) + (hour % 7), 15, 100), 0),
        hour % 61 is 37 or 38 ? 0.4 : hour % 53 == 20 ? 0.1 : 0,
        hour % 97 == 40 ? 60 : 10,
        hour == 222 ? null : Math.Round(2.6 + (2.1 * Math.Sin(hour * 0.11)), 1),
        20);

    private static PlanRequest Of(PlanPlanting planting, SprayProduct? product = null, params SprayEntry[] sprays) =>
        Request(planting, product ?? Copper, sprays) with
        {
            Forecast = new Forecast("invented", Now, [.. Enumerable.Range(0, 236).Select(Changing)]),
            ObservedRain = [new RainAmount(Now.AddHours(-9.5), 0.3), new RainAmount(Now.AddHours(-20), 4)],
            SunElevationDeg = at => 28 * Math.Sin((at.Hour + (at.Minute / 60.0) - 6.5) * Math.PI / 12),
        };

    private static string Told(PlanRequest request, bool withUnfit)
    {
        var plan = SprayPlanner.Plan(request);
        var text = new StringBuilder().Append(PlanAnswer.Of(request, plan).Text).Append('\n');
        foreach (var planting in plan.Plantings)
        {
            foreach (var due in planting.Due)
                text.Append(CultureInfo.InvariantCulture, $"due {due.What} by {due.By:o} from {due.From:o} {due.FromIsGuessed}: ")
                    .Append(due.Why.Text).Append('\n');
        }

        foreach (var note in plan.Notes)
            text.Append(CultureInfo.InvariantCulture, $"note {note.Text}\n");
        Spans("refused", plan.Refused);
        foreach (var slot in plan.Slots)
            text.Append(CultureInfo.InvariantCulture, $"slot {slot.Rank} {slot.Start:dd HH:mm}-{slot.End:dd HH:mm} {slot.Score:0.###}: ")
                .Append(CultureInfo.InvariantCulture, $"{string.Join("; ", slot.Reasons)}\n");
        Spans("unfit", withUnfit ? UnfitHours.Of(request, plan) : []);
        return text.ToString();

        void Spans(string what, IEnumerable<RefusedSpray> spans)
        {
            foreach (var span in spans)
                text.Append(CultureInfo.InvariantCulture, $"{what} {span.From:dd HH:mm}-{span.To:dd HH:mm}: {span.Reason.Text}\n");
        }
    }
}
