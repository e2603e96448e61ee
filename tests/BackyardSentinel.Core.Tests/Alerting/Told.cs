using BackyardSentinel.Alerting;

namespace BackyardSentinel.Tests.Alerting;

/// <summary>Occasions of the invented garden Tannery Lane, and what a policy makes of them in virtual time.</summary>
internal sealed class Told
{
    public const string Site = "south-wall", Tree = "white-peach";

    private Told(IReadOnlyList<Decision> decisions) => Decisions = decisions;

    public IReadOnlyList<Decision> Decisions { get; }

    public IReadOnlyList<Alert> Sent => [.. Decisions.OfType<Send>().Select(send => send.Alert)];

    public IEnumerable<string> Ids => Sent.Select(alert => alert.Id);

    public DropReason WhyDropped(Occasion occasion) => Decisions.OfType<Drop>().Last(drop => drop.Occasion == occasion).Why;

    /// <summary>Tells the occasions at their times, lets the clock tick between, and waits until three days after the last.</summary>
    public static Told From(
        IEnumerable<Occasion> occasions,
        AlertPolicyOptions? options = null,
        int tickMinutes = 1,
        params Answer[] answers)
    {
        var policy = new AlertPolicy(options ?? new AlertPolicyOptions());
        var decisions = new List<Decision>();
        var inputs = occasions.Select(occasion => (occasion.At, Input: (object)occasion))
            .Concat(answers.Select(answer => (answer.At, Input: (object)answer)))
            .OrderBy(input => input.At)
            .ToList();
        var now = inputs[0].At;
        foreach (var (at, input) in inputs)
        {
            for (; now < at; now = now.AddMinutes(tickMinutes))
                decisions.AddRange(policy.AdvanceTo(now));
            if (input is Occasion occasion)
                decisions.Add(policy.Consider(occasion));
            else
                policy.Answer((Answer)input);
        }

        decisions.AddRange(policy.AdvanceTo(now.AddDays(3)));
        return new Told(decisions);
    }

    public static LevelRisen Risen(
        Level to,
        double atHours,
        Level from = Level.Building,
        double spellStartHours = 0,
        string tree = Tree,
        Cover? cover = null
    ) =>
        new(Site, tree, Some.At(atHours), to, from, Some.At(atHours), Some.At(spellStartHours))
        {
            Rule = RuleName.WetHours.Word(),
            Cover = cover,
            LookFrom = DateOnly.FromDateTime(Some.At(atHours).UtcDateTime).AddDays(Incubation.FirstDay),
        };

    public static SensorSilent Silent(string series, double atHours, string site = Site) =>
        new(site, Some.At(atHours), series, Quantity.Temperature, Some.At(atHours - 3));

    public static SensorBack Back(string series, double silentAtHours, double atHours, string site = Site) =>
        new(site, Some.At(atHours), series, Quantity.Temperature, Some.At(silentAtHours - 3));
}
