using BackyardSentinel.Alerting;
using BackyardSentinel.Watching;

namespace BackyardSentinel.Tests;

/// <summary>One season of two sites, fed in each of the ways there are: the same facts, and the same alerts at the same minutes.</summary>
public sealed class SeasonFeedTests
{
    private static readonly DateTimeOffset Start = new(2027, 3, 1, 0, 0, 0, TimeSpan.Zero);
    private static readonly Site[] Sites = [Site("yard"), Site("slope")];

    [Fact]
    public void Live_a_restart_and_a_log_give_the_same_facts_and_the_same_alerts()
    {
        var season = Season();
        var live = Run(feed =>
        {
            var next = 0;
            for (var minute = Start; minute <= Start.AddDays(6); minute = minute.AddMinutes(1))
            {
                feed.AdvanceTo(minute);
                for (; next < season.Count && season[next].ReceivedAt < minute.AddMinutes(1); next++)
                    feed.Accept(season[next]);
            }
        });

        Assert.Contains(live, told => told.Contains(nameof(Alert), StringComparison.Ordinal));
        Assert.Equal(live, Run(feed =>
        {
            feed.Feed(season);
            feed.AdvanceTo(Start.AddDays(6));
        }));
        Assert.Equal(live, Run(feed =>
        {
            foreach (var sensed in season)
                feed.Judge(feed.Watches[sensed.Site], sensed.Reading, sensed.Reading.Time);
            feed.AdvanceTo(Start.AddDays(6));
        }));
    }

    [Fact]
    public void What_comes_late_stands_where_it_belongs()
    {
        var season = Season();
        var late = season.Select((sensed, n) => n % 7 == 3 ? sensed with { ReceivedAt = sensed.ReceivedAt.AddHours(n % 20) } : sensed);
        void Feed(SeasonFeed feed, IEnumerable<SensedReading> readings)
        {
            feed.Feed(readings);
            feed.AdvanceTo(Start.AddDays(6));
            Assert.Equal(0, feed.LateReadings);
        }

        Assert.Equal(Run(feed => Feed(feed, season)), Run(feed => Feed(feed, late)));
    }

    [Fact]
    public void A_reading_that_speaks_of_judged_time_is_counted_and_one_that_came_after_the_end_is_left_out()
    {
        List<SensedReading> taken = [];
        var feed = new SeasonFeed(Sites, desk: new AlertDesk(new AlertPolicyOptions(), _ => { }));
        feed.Feed(Season(), until: Start.AddHours(5), onTaken: taken.Add);
        feed.AdvanceTo(Start.AddHours(5));
        Assert.Equal(Start.AddHours(5), taken.Max(sensed => sensed.ReceivedAt));

        feed.Accept(Sensed("yard", Quantity.Temperature, Start.AddHours(4).AddMinutes(3), 8) with { ReceivedAt = Start.AddHours(5) });
        Assert.Equal(1, feed.LateReadings);
    }

    [Fact]
    public void A_silent_sensor_is_noticed_where_somebody_listens_for_it()
    {
        List<Alert> alerts = [];
        var feed = Listening(Sites, alerts.Add);
        feed.Feed(Season().Where(sensed => sensed.Site == "yard" || sensed.ReceivedAt < Start.AddDays(1)));
        feed.AdvanceTo(Start.AddDays(6));

        Assert.Equal("slope", Assert.Single(feed.Troubles.OfType<SensorsSilent>()).Site);
        Assert.Contains(alerts, alert => alert.Occasions.Any(occasion => occasion is SensorsSilent { Site: "slope" }));
    }

    [Fact]
    public void What_is_first_heard_long_after_its_own_time_was_not_silent_before()
    {
        List<Alert> alerts = [];
        var feed = Listening(Sites, alerts.Add);
        feed.Feed(
            Season().Where(sensed => sensed.Reading.Time < Start.AddHours(20))
                .Select(sensed => sensed with { ReceivedAt = Start.AddHours(20) }));
        feed.AdvanceTo(Start.AddHours(22));

        Assert.Empty(feed.Troubles);
        Assert.DoesNotContain(alerts, alert => alert.Occasions.Any(occasion => occasion is SensorSilent or SensorsSilent));
    }

    [Fact]
    public void Silences_of_two_sites_are_told_alike_by_who_looks_each_minute_and_by_who_looks_seldom()
    {
        // On the slope one sensor falls silent 14 minutes after the other, in the yard one three minutes after that.
        var end = Start.AddHours(5);
        List<SensedReading> season =
        [
            .. Season().Where(sensed => sensed.Reading.Quantity != Quantity.Rain && sensed.ReceivedAt < end.AddMinutes(-10)),
            Sensed("slope", Quantity.Humidity, end.AddMinutes(-17), 61),
            Sensed("slope", Quantity.Temperature, end.AddMinutes(-3), 9),
            Sensed("yard", Quantity.Humidity, end, 61),
        ];
        season.Sort((a, b) => a.ReceivedAt.CompareTo(b.ReceivedAt));
        List<string> ByMinute(IEnumerable<Site> sites)
        {
            List<string> told = [];
            var feed = Listening(sites, alert => told.Add($"{alert.Id} {alert.At:u}"));
            foreach (var sensed in season)
                feed.Accept(sensed);
            for (var minute = season[^1].ReceivedAt; minute < end.AddHours(8); minute = minute.AddMinutes(1))
                feed.AdvanceTo(minute);
            return told;
        }

        List<string> Again(IEnumerable<Site> sites)
        {
            List<string> told = [];
            var feed = Listening(sites, alert => told.Add($"{alert.Id} {alert.At:u}"));
            feed.Feed(season);
            feed.AdvanceTo(end.AddHours(8));
            return told;
        }

        var live = ByMinute(Sites);
        Assert.Contains(live, told => told.StartsWith("slope-hub", StringComparison.Ordinal));
        Assert.Equal(live, Again(Sites));
        Assert.Equal(live, ByMinute(Sites.Reverse()));
        Assert.Equal(live, Again(Sites.Reverse()));
    }

    [Fact]
    public void A_fault_at_one_reading_stops_no_other_where_somebody_is_told()
    {
        var season = Season();
        season.Insert(5, season[5] with { Site = "elsewhere" });
        List<SensedReading?> faults = [];
        var feed = new SeasonFeed(Sites, onFault: (_, at) => faults.Add(at));
        feed.Feed(season);

        Assert.Equal("elsewhere", Assert.Single(faults)!.Value.Site);
        Assert.All(feed.Watches.Values, watch => Assert.NotNull(watch.LastInterval));
        Assert.Throws<KeyNotFoundException>(() => new SeasonFeed(Sites).Feed(season));
    }

    [Fact]
    public void Where_older_readings_are_left_out_nothing_is_told_until_the_season_has_settled()
    {
        List<DateTimeOffset> told = [];
        var feed = new SeasonFeed(Sites, fact => told.Add(fact.At), from: Start.AddDays(-10));
        feed.Feed(Season());
        feed.Finish();

        Assert.NotEmpty(told);
        Assert.All(told, at => Assert.True(at >= Start.AddDays(4)));
    }

    private static SeasonFeed Listening(IEnumerable<Site> sites, Action<Alert> onAlert) => new(
        sites,
        desk: new AlertDesk(
            new AlertPolicyOptions(),
            decision =>
            {
                if (decision is Send send)
                    onAlert(send.Alert);
            }),
        series: sites.ToDictionary(
            site => site.Id,
            IReadOnlyDictionary<string, Quantity> (_) => new Dictionary<string, Quantity>
            {
                ["Temperature"] = Quantity.Temperature,
                ["Humidity"] = Quantity.Humidity,
                ["Rain"] = Quantity.Rain,
            }));

    private static List<string> Run(Action<SeasonFeed> feeding)
    {
        List<string> told = [];
        feeding(new SeasonFeed(
            Sites,
            fact => told.Add($"{fact.Key} {fact.At:u}"),
            desk: new AlertDesk(
                new AlertPolicyOptions(),
                decision => told.AddRange(decision is Send { Alert: var alert } ? [$"Alert {alert.Id} {alert.At:u}"] : []))));
        return told;
    }

    /// <summary>Each ten minutes a reading; rain on every other day.</summary>
    private static List<SensedReading> Season() =>
        [
            .. Enumerable
                .Range(0, 6 * 144)
                .Select(step => Start.AddMinutes(10 * step))
                .SelectMany(at => Sites.SelectMany(site =>
                    new[]
                    {
                        Sensed(site.Id, Quantity.Temperature, at, 9 + (at.Hour / 6)),
                        Sensed(site.Id, Quantity.Humidity, at, at.Day % 2 == 0 ? 97 : 60),
                        Sensed(site.Id, Quantity.Rain, at, at.Day % 2 == 0 ? 0.4 : 0),
                    })),
        ];

    private static SensedReading Sensed(string site, Quantity quantity, DateTimeOffset at, double value) =>
        new(site, $"{quantity}", new Reading(quantity, at, value), at);

    private static Site Site(string id) => new() { Id = id, Plantings = [new Planting($"{id}-peach")] };
}
