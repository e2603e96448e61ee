using System.Text;
using BackyardSentinel.Alerting;

namespace BackyardSentinel.Tests.Alerting;

/// <summary>
/// Three weeks in which everything is worth a message, drawn by a seed, with answers in between: what the policy makes of each is put
/// down in tests/scenarios/messages; read what has changed before committing.
/// </summary>
public class AlertRecordTests
{
    private static readonly DateTimeOffset Begin = new(2027, 3, 1, 0, 0, 0, TimeSpan.Zero);

    [Theory]
    [InlineData("plain", 1)]
    [InlineData("quiet", 2)]
    [InlineData("few", 3)]
    public void What_is_told_of_a_busy_time_is_as_it_was_put_down(string name, int seed)
    {
        var options = new AlertPolicyOptions
        {
            Zone = TimeZoneInfo.FindSystemTimeZoneById("Europe/Ljubljana"),
            Quiet = name == "quiet" ? new QuietHours(new(21, 30), new(6, 45)) : null,
            SeverePassesQuiet = name == "quiet",
            MaxPerDay = name == "few" ? 2 : 6,
            LeastLevel = name == "few" ? Level.Likely : Level.Possible,
        };
        var told = Told(new AlertPolicy(options), new Random(seed));
        var path = Path.Combine(OutsideData.Scenarios("messages"), name + ".txt");
        if (Environment.GetEnvironmentVariable("BACKYARD_SENTINEL_WRITE") == "1")
            File.WriteAllText(path, told);
        Assert.Equal(File.ReadAllText(path).ReplaceLineEndings("\n"), told);
    }

    private static string Told(AlertPolicy policy, Random random)
    {
        var text = new StringBuilder();
        List<string> episodes = ["none"];
        var at = Begin;
        for (var i = 0; i < 220; i++)
        {
            at = at.AddMinutes(random.Next(4) == 0 ? random.Next(1, 900) : random.Next(1, 25));
            foreach (var decision in policy.AdvanceTo(at))
                Tell(decision);
            if (random.Next(12) == 0)
            {
                var episode = episodes[random.Next(Math.Max(0, episodes.Count - 4), episodes.Count)];
                Answer answer = random.Next(2) == 0 ? new SeenAnswer(episode, at)
                    : new LaterAnswer(episode, at, at.AddHours(random.Next(-1, 9)));
                text.Append(CultureInfo.InvariantCulture, $"{at:dd HH:mm} {policy.Answer(answer)}\n");
                continue;
            }

            var occasion = Drawn(random, at);
            episodes.Add(occasion.Episode);
            text.Append(CultureInfo.InvariantCulture, $"{at:dd HH:mm} {occasion.Kind} {occasion.Episode}\n");
            Tell(policy.Consider(occasion));
        }

        foreach (var decision in policy.AdvanceTo(at.AddDays(9)))
            Tell(decision);
        return text.ToString();

        void Tell(Decision decision) => text.Append("    ").Append(decision switch
        {
            Send send => string.Create(
                CultureInfo.InvariantCulture,
                $"{send.Alert.At:dd HH:mm} sent, {send.Alert.Urgency}, {send.Alert.Id}, {send.Reason}: "
                    + $"{string.Join(", ", send.Alert.Occasions.Select(one => $"{one.Kind} {one.Rung}"))}"),
            Hold hold => string.Create(CultureInfo.InvariantCulture, $"{hold.Occasion.Kind} waits to {hold.Until:dd HH:mm}, {hold.Reason}"),
            Drop drop => $"{drop.Occasion.Kind} dropped, {drop.Why}",
            _ => throw new InvalidOperationException(),
        }).Append('\n');
    }

    private static Occasion Drawn(Random random, DateTimeOffset at)
    {
        var site = random.Next(5) == 0 ? "field" : "yard";
        var tree = random.Next(3) switch { 0 => "peach", 1 => "nectarine", _ => "apricot" };
        var series = $"s{random.Next(3)}";
        var day = DateOnly.FromDateTime(at.Date);
        var spell = Begin.AddDays(Math.Floor((at - Begin).TotalDays / 3) * 3);
        return random.Next(19) switch
        {
            < 6 => new LevelRisen(
                site, tree, at, (Level)random.Next((int)Level.Unknown, (int)Level.Severe + 1),
                random.Next(3) == 0 ? Level.Likely : Level.Clear, spell, spell)
            {
                Rule = RuleName.WetHours.Word(),
                LookFrom = day.AddDays(9),
                StageSure = random.Next(4) > 0,
                Declining = random.Next(5) == 0,
                Cover = random.Next(3) == 0 ? Cover.Fresh : null,
            },
            6 => new WindowAhead(site, tree, at, (Level)random.Next(2, 5), at.AddHours(random.Next(2, 30)), 19, 8.5, 8.1, at)
            {
                Rule = RuleName.WetHours.Word(),
            },
            7 => new SprayDeadlineNear(site, tree, at, day.AddDays(9), day.AddDays(5), day.AddDays(16), random.Next(2) == 0 ? 7 : 3),
            8 => new SprayLastChance(site, tree, at, day.AddDays(2), day, day.AddDays(9)),
            9 => new SpraySlotFound(site, tree, at, "copper", at.AddHours(random.Next(1, 40)), at.AddHours(44))
            {
                Serves = "late-winter",
                Deadline = day.AddDays(9),
            },
            10 => random.Next(2) == 0 ? new CoverToRecheck(site, tree, at, "copper", 26.4, Day(Begin))
                : new CoverSpent(site, tree, at, "copper", 51.2, Day(Begin)),
            11 => new LookAtBuds(site, tree, at, 1, Expected: false, day, ATableWouldHelp: false),
            12 => new ScoutingDue(site, tree, at, spell, day, day.AddDays(7)),
            13 or 14 => new SensorSilent(site, at, series, Quantity.Temperature, at.AddHours(-3)),
            15 or 16 => new SensorBack(site, at, series, Quantity.Temperature, at.AddHours(-5)),
            17 => random.Next(2) == 0 ? new SensorsSilent(site, at, 3, at.AddHours(-3)) : new SensorsBack(site, at, at.AddHours(-6), 3, 0),
            _ => new DiskLow(at, 90),
        };

        static DateOnly Day(DateTimeOffset moment) => DateOnly.FromDateTime(moment.Date);
    }
}
