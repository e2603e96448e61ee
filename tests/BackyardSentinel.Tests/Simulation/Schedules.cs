using CsCheck;
using static BackyardSentinel.Simulation.What;

namespace BackyardSentinel.Simulation;

/// <summary>Schedules made up at random, and made short where one fails.</summary>
internal static class Schedules
{
    /// <summary>So often a failing schedule is played to make it shorter, at most.</summary>
    private const int MostTries = 600;

    private static readonly Gen<int> Sensor = Gen.Int[0, ScheduleGround.Devices.Count - 1];

    private static readonly Gen<int> Minutes = Gen.Frequency(
        (3, Gen.Int[0, 5]), (4, Gen.Int[5, 60]), (2, Gen.Int[60, 300]), (1, Gen.Int[300, 1_700]));

    /// <summary>From a few hours to a few days, and up to thirty things that happen.</summary>
    private static readonly Gen<Happening[]> Any = Gen.Frequency(
        (30, By(AllSpeak, Gen.Int[1, 9])),
        (3, By(AllSpeak, Gen.Int[30, 80])),
        (4, By(Wait, Minutes)),
        (3, By(WetOrDry, Gen.Const(0))),
        (4, By(Says, Gen.Const(0))),
        (4, By(TwoOfOneTime, Gen.Const(0))),
        (4, By(SaysTwice, Gen.Const(0))),
        (4, By(Late, Minutes)),
        (3, By(OtherOrder, Gen.Const(0))),
        (3, By(Silent, Gen.Int[1, 30])),
        (3, By(Nonsense, Gen.Int[0, 2])),
        (3, By(ImpossibleValue, Gen.Const(0))),
        (3, By(SensorClockWrong, Gen.OneOf(-40, -3, 3, 30))),
        (4, By(RetainedCopies, Gen.Const(0))),
        (5, By(LinkLost, Minutes)),
        (5, By(AnswersLost, Minutes)),
        (2, By(BrokerForgets, Minutes)),
        (4, By(BrokerSaves, Gen.Const(0))),
        (3, By(BrokerLosesPower, Minutes)),
        (4, By(Kill, Minutes)),
        (4, By(KillUnheard, Minutes)),
        (4, Of(KillTaking, Gen.Int[1, 12], Minutes)),
        (4, By(KillSending, Minutes)),
        (4, By(Stop, Minutes)),
        (2, By(OtherGarden, Gen.Const(0))),
        (2, Of(ClockWrong, Gen.OneOf(-600_000, -3_000, -90, -2, 2, 90, 1_300, 3_000, 500_000), Minutes)),
        (4, Of(DiskRefuses, Gen.Int[0, 3], Minutes)),
        (5, Of(What.Phone, Gen.Int[1, 4], Minutes))).Array[3, 30];

    /// <summary>One of them, always the same for the same seed and number.</summary>
    public static Happening[] Of(int seed, int number) => Any.Generate(new PCG((uint)number, (ulong)seed), null, out _);

    /// <summary>A schedule that fails and of which nothing can be left out, or made smaller, without its holding.</summary>
    /// <param name="schedule">One that fails.</param>
    /// <param name="fails">Plays one.</param>
    public static async Task<Happening[]> ShortestAsync(Happening[] schedule, Func<Happening[], Task<bool>> fails)
    {
        var tries = 0;
        // Pieces of half its length, then of a quarter, down to one; and again as long as that helps.
        for (var size = Math.Max(1, schedule.Length / 2); tries < MostTries;)
        {
            var before = schedule;
            for (var at = schedule.Length - size; at > -size; at -= size)
            {
                var from = Math.Max(0, at);
                await TryAsync([.. schedule[..from], .. schedule[Math.Min(schedule.Length, at + size)..]]);
            }

            if (size == 1 && before.Length == schedule.Length)
            {
                for (var i = 0; i < schedule.Length; i++)
                {
                    foreach (var smaller in Smaller(schedule[i]))
                    {
                        if (await TryAsync([.. schedule[..i], smaller, .. schedule[(i + 1)..]]))
                            break;
                    }
                }

                if (before.SequenceEqual(schedule))
                    return schedule;
            }

            size = Math.Max(1, size / 2);
        }

        return schedule;

        async Task<bool> TryAsync(Happening[] other)
        {
            if (other.Length == 0 || tries++ >= MostTries || !await fails(other))
                return false;
            schedule = other;
            return true;
        }
    }

    private static IEnumerable<Happening> Smaller(Happening one)
    {
        foreach (var by in (int[])[0, 1, one.By / 2, one.By - Math.Sign(one.By)])
        {
            if (Math.Abs(by) < Math.Abs(one.By))
                yield return one with { By = by };
        }

        if (one.Of > 0)
            yield return one with { Of = one.Of - 1 };
    }

    private static Gen<Happening> By(What what, Gen<int> by) => Of(what, Sensor, by);

    private static Gen<Happening> Of(What what, Gen<int> of, Gen<int> by) => Gen.Select(of, by, (of, by) => new Happening(what, of, by));
}
