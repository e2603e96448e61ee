using BackyardSentinel.Tests;
using static BackyardSentinel.Simulation.What;

namespace BackyardSentinel.Simulation;

/// <summary>
/// Schedules of what goes wrong within hours to days, made up at random, each held to all promises and played twice. One that fails is made
/// short and printed as it can be pasted. A few always; BACKYARD_SENTINEL_SCHEDULES=10000 plays so many.
/// </summary>
public sealed class ScheduleSimulationTests : IDisposable
{
    /// <summary>Schedules that once failed, made short.</summary>
    private static readonly Happening[][] Found =
    [
        // The reading at which an outage began was held on over it.
        [
            new(KillUnheard, 0, 15),
        ],
        // A gap that the disk did not take was not judged as one.
        [
            new(AllSpeak, 0, 1),
            new(Stop, 0, 17),
            new(DiskRefuses, 0, 30),
            new(AllSpeak, 0, 2),
        ],
        // A new session's messages, not safe yet, were taken for those of the same numbers before.
        [
            new(AllSpeak, 0, 6),
            new(DiskRefuses, 0, 11),
            new(BrokerForgets, 0, 0),
            new(AllSpeak, 0, 1),
            new(OtherGarden, 0, 0),
        ],
        // A clock that was ahead and is right at the next start is not believed, and all that is stamped by sensors comes late.
        [
            new(ClockWrong, 90, 110),
            new(AllSpeak, 0, 5),
            new(AllSpeak, 0, 6),
            new(KillTaking, 0, 8),
        ],
        // What came while a clock was ahead counts when that clock said, and is known for longer by so much.
        [
            new(ClockWrong, 90, 364),
            new(AllSpeak, 0, 3),
        ],
        [
            new(KillTaking, 0, 1),
            new(ClockWrong, 1300, 1472),
            new(Wait, 5, 1358),
        ],
        // A digest ended with the clock that was ahead, and another has to tell of the same messages.
        [
            new(Phone, 0, 2),
            new(ClockWrong, 1272, 1),
            new(OtherGarden, 0, 0),
            new(ClockWrong, 499971, 1),
            new(AllSpeak, 0, 1),
        ],
        // What was heard while a start caught up was not among what an outage right after it begins behind.
        [
            new(DiskRefuses, 0, 41),
            new(AnswersLost, 0, 0),
            new(Kill, 0, 0),
            new(BrokerLosesPower, 0, 0),
            new(Silent, 0, 0),
            new(ImpossibleValue, 0, 0),
            new(Phone, 0, 0),
            new(TwoOfOneTime, 0, 0),
            new(ImpossibleValue, 0, 0),
            new(WetOrDry, 0, 0),
            new(AllSpeak, 0, 1),
            new(AllSpeak, 0, 3),
            new(Nonsense, 0, 0),
            new(OtherGarden, 0, 0),
            new(DiskRefuses, 0, 1),
            new(KillSending, 0, 0),
            new(LinkLost, 5, 21),
        ],
        // What a sensor says whose clock is ahead counts then, if that is past when it comes.
        [
            new(Stop, 0, 432),
            new(Says, 2, 0),
            new(SensorClockWrong, 0, 4),
        ],
        // Of two sites, looked at once in ten minutes, the later silence of one made the earlier of the other wait for longer.
        [
            new(Late, 0, 126),
            new(AllSpeak, 0, 3),
            new(AllSpeak, 0, 8),
            new(Kill, 0, 12),
            new(TwoOfOneTime, 4, 0),
            new(Wait, 5, 261),
        ],
    ];

    private readonly ScheduleGround _ground = new();

    public void Dispose() => _ground.Dispose();

    [Fact]
    public async Task What_was_found_does_not_come_again()
    {
        foreach (var schedule in Found)
        {
            var failure = await _ground.FailureOfAsync(schedule);
            Assert.True(failure is null, failure);
        }

    }

    [Fact]
    public async Task Whatever_happens_in_whatever_order_every_promise_holds()
    {
        var count = LongRun.Asked("SCHEDULES") ?? 15;
        List<string> failures = [];
        for (var number = 0; number < count && failures.Count < 5; number++)
        {
            var schedule = Schedules.Of(LongRun.Seed, number);
            if (await _ground.FailureOfAsync(schedule) is not { } first)
                continue;
            var shortest = await Schedules.ShortestAsync(schedule, async other => await _ground.FailureOfAsync(other) is not null);
            var failure = await _ground.FailureOfAsync(shortest) ?? $"(not when played once more) {first}";
            var pasted = string.Concat(shortest.Select(one => $"            {one}\n"));
            failures.Add($"schedule {number} of seed {LongRun.Seed}:\n        [\n{pasted}        ]\n{failure}");
            LongRun.Tell(failures[^1].Replace("\n", "\n    ", StringComparison.Ordinal));
        }

        var figures = _ground.Figures.Select(one => string.Create(CultureInfo.InvariantCulture, $"{one.Key} {one.Value:#,0}"));
        LongRun.Tell($"schedules: {count}, each twice; {string.Join(", ", figures)}");
        Assert.True(failures.Count == 0, string.Join("\n\n", failures));
    }
}
