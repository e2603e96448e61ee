using static BackyardSentinel.Tests.Planning.SprayGarden;

namespace BackyardSentinel.Tests.Planning;

/// <summary>What must hold of every slot, whatever the forecast.</summary>
public class SprayPlannerPropertyTests
{
    private static readonly Gen<(int Kind, int Hours)[]> GenSpells = Gen.Select(Gen.Int[0, 16], Gen.Int[1, 40]).Array[8, 25];

    private static readonly Gen<LabelLimit> GenLabel = Gen.Select(
        Gen.Int[0, 12],
        Gen.Int[0, 12],
        Gen.Int[0, 12],
        Gen.Int[0, 14],
        Gen.Int[0, 10],
        (before, after, frost, least, most) =>
            new LabelLimit
            {
                DryBeforeH = before == 0 ? null : before - 1,
                DryAfterH = after == 0 ? null : after - 1,
                FrostFreeAfterH = frost == 0 ? null : (frost - 1) * 2,
                MinTemperatureC = least < 5 ? null : least,
                MaxWindMs = most < 5 ? null : most / 2.0,
            });

    private static Forecast Build((int Kind, int Hours)[] spells)
    {
        var hours = new List<ForecastHour>();
        var at = Now.AddHours(-3);
        foreach (var (kind, length) in spells)
        {
            for (var i = 0; i < length; i++, at = at.AddHours(1))
            {
                var fair = FairHour(at) with { TemperatureC = 10 + (5 * Math.Sin(at.Hour / 24.0 * 2 * Math.PI)) };
                if (kind == 1)
                    continue; // A gap.
                hours.Add(kind switch
                {
                    2 => fair with { RainMm = i % 3 == 0 ? 0.4 : 0 },
                    3 => fair with { RainMm = null, RainProbabilityPct = 20 * (i % 5) },
                    4 => fair with { TemperatureC = 3 - (i % 7) },
                    5 => fair with { WindMs = i % 6 },
                    6 => fair with { HumidityPct = 15 + (i % 40 * 2) },
                    7 => fair with { TemperatureC = 27, HumidityPct = 30 + (i % 20) },
                    8 => fair with { WindMs = null },
                    _ => fair,
                });
            }
        }

        return new Forecast("invented", Now, hours);
    }

    private static double Sun(DateTimeOffset at) => at.Hour is >= 7 and < 17 ? 20 : -20;

    private static PlanRequest Request(Forecast forecast, LabelLimit label, params SprayEntry[] sprays) =>
        SprayGarden.Request(Bare(), Copper with { Label = label }, sprays) with { Forecast = forecast, SunElevationDeg = Sun };

    [Fact]
    public void No_slot_breaks_a_limit_when_each_of_its_hours_is_judged_anew()
    {
        var slots = 0;
        Gen.Select(GenSpells, GenLabel, Gen.Int[0, 40]).Sample((spells, label, days) =>
        {
            var forecast = Build(spells);
            var sprays = Spray(1, Today.AddDays(-days).ToString("yyyy-MM-dd", null));
            var plan = SprayPlanner.Plan(Request(forecast, label with { MinDaysBetween = 14 }, sprays));
            Interlocked.Add(ref slots, plan.Slots.Count);
            var byStart = forecast.Hours.ToDictionary(hour => hour.Start);
            foreach (var slot in plan.Slots)
            {
                Assert.True(slot.End - slot.Start >= TimeSpan.FromHours(2));
                Assert.True(slot.Start >= Now && slot.End <= Now.AddDays(10));
                Assert.True(slot.Start >= new DateTimeOffset(Today.AddDays(14 - days).ToDateTime(default), TimeSpan.Zero));
                for (var at = slot.Start; at < slot.End; at = at.AddHours(1))
                    AssertFit(byStart, label, at);
            }
        }, iter: 150);
        Assert.True(slots > 100); // Not for want of slots.
    }

    /// <summary>The limits once more, written down without the code under test.</summary>
    private static void AssertFit(Dictionary<DateTimeOffset, ForecastHour> hours, LabelLimit label, DateTimeOffset at)
    {
        ForecastHour? Find(DateTimeOffset start) => hours.TryGetValue(start, out var found) ? found : null;
        var hour = Find(at)!.Value;
        var wet = Psychrometrics.WetBulbC(hour.TemperatureC!.Value, hour.HumidityPct!.Value, 1013.25);
        Assert.True(hour.TemperatureC >= (label.MinTemperatureC ?? (4.0 / 9 * 10) - 1e-6));
        Assert.True(hour.TemperatureC - wet <= 10.000001);
        Assert.True(hour.WindMs >= 0.555 && hour.WindMs <= (label.MaxWindMs ?? 4.4704 + 1e-6));
        Assert.False(hour is { TemperatureC: > 25, HumidityPct: < 40 });
        // The sun of these tests rises at 7 and sets at 17: without a wind of 11 km/h from 8:30 to 15:30.
        Assert.InRange(at.TimeOfDay.TotalHours, hour.WindMs >= 3.06 ? 7 : 8.5, hour.WindMs >= 3.06 ? 16 : 14.5);

        for (var away = -(label.DryBeforeH ?? 3); away <= (label.DryAfterH ?? 4); away++)
        {
            var other = Find(at.AddHours(away));
            if (other is null && at.AddHours(away) < Now)
                continue; // The past was measured: dry.
            Assert.True(other is { RainMm: not null } or { RainProbabilityPct: not null });
            Assert.False(other is { RainMm: >= 0.1 } or { RainProbabilityPct: >= 50 });
        }

        for (var away = -(label.FrostFreeBeforeH ?? 24); away <= (label.FrostFreeAfterH ?? 24); away++)
        {
            if (Find(at.AddHours(away)) is null && at.AddHours(away) < Now)
                continue; // The past was measured: mild.
            var cold = Find(at.AddHours(away))!.Value;
            Assert.True(cold.TemperatureC > 0);
            Assert.True(
                cold.HumidityPct is not null && Psychrometrics.WetBulbC(cold.TemperatureC!.Value, cold.HumidityPct.Value, 1013.25) > 0);
        }
    }

    // A long slot may be parted by rain; each part then lies in the old one and is worth no more.
    [Fact]
    public void More_rain_never_betters_a_slot_nor_finds_a_new_one() =>
        Gen.Select(GenSpells, GenLabel, Gen.Int[0, 240].Array[1, 4], Gen.Int[1, 10])
            .Sample(
                (spells, label, rainy, mm) =>
                {
                    var dry = Build(spells);
                    var wet = dry with
                    {
                        Hours =
                        [
                            .. dry.Hours.Select((hour, i) => rainy.Contains(i) ? hour with { RainMm = (hour.RainMm ?? 0) + mm } : hour),
                        ],
                    };
                    var (before, after) = (SprayPlanner.Plan(Request(dry, label)).Slots, SprayPlanner.Plan(Request(wet, label)).Slots);
                    Assert.All(
                        after,
                        slot =>
                        {
                            var old = Assert.Single(before, whole => whole.Start <= slot.Start && whole.End >= slot.End);
                            Assert.True(slot.Score <= old.Score + 1e-9);
                        });
                },
                iter: 300);

    [Fact]
    public void Slots_do_not_overlap_and_ranks_follow_the_score() =>
        Gen.Select(GenSpells, GenLabel)
            .Sample(
                (spells, label) =>
                {
                    var slots = SprayPlanner.Plan(Request(Build(spells), label)).Slots;
                    Assert.Equal(Enumerable.Range(1, slots.Count), slots.Select(slot => slot.Rank));
                    Assert.Equal(slots.Select(slot => slot.Score).OrderDescending(), slots.Select(slot => slot.Score));
                    Assert.All(
                        slots.OrderBy(slot => slot.Start).Zip(slots.OrderBy(slot => slot.Start).Skip(1)),
                        pair => Assert.True(pair.First.End < pair.Second.Start));
                },
                iter: 200);

    [Fact]
    public void The_same_request_gives_the_same_plan() =>
        Gen.Select(GenSpells, GenLabel)
            .Sample(
                (spells, label) =>
                {
                    var (one, two) = (SprayPlanner.Plan(Request(Build(spells), label)), SprayPlanner.Plan(Request(Build(spells), label)));
                    Assert.Equal(
                        one.Slots.Select(slot => (slot.Start, slot.End, slot.Score, string.Join(';', slot.Reasons))),
                        two.Slots.Select(slot => (slot.Start, slot.End, slot.Score, string.Join(';', slot.Reasons))));
                    Assert.Equal(one.Notes, two.Notes);
                },
                iter: 50);
}
