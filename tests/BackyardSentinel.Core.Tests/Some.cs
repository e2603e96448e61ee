using BackyardSentinel.Events;

namespace BackyardSentinel.Tests;

/// <summary>Ready-made gardens, moments, readings and intervals.</summary>
internal static class Some
{
    /// <summary>A UTC midnight in late winter.</summary>
    public static readonly DateTimeOffset Midnight = new(2027, 2, 1, 0, 0, 0, TimeSpan.Zero);

    /// <summary>Green leaf tips: fully susceptible.</summary>
    public const int GreenTips = 9;

    public static DateTimeOffset At(double hours) => Midnight + Minutes(hours);

    /// <summary>Hours in whole minutes, so that sixths of an hour stay exact.</summary>
    public static TimeSpan Minutes(double hours) => TimeSpan.FromMinutes((long)Math.Round(hours * 60));

    public static DateTimeOffset Clock(int hour, int minute, int second = 0) => Midnight.Add(new TimeSpan(hour, minute, second));

    public static Site Garden(int? stage = GreenTips) => new() { Id = "garden", Plantings = [new Planting("tree", Stage: stage)] };

    /// <summary>A watch that has been told readings and a journal, up to a moment.</summary>
    public static SiteWatch Fed(Site site, IEnumerable<Reading> readings, DateTimeOffset until, IReadOnlyList<JournalEntry>? journal = null)
    {
        var watch = new SiteWatch(site, _ => { }, journal);
        foreach (var reading in readings)
            watch.Accept(reading, reading.Time);
        watch.AdvanceTo(until);
        return watch;
    }

    public static Reading Temperature(DateTimeOffset at, double celsius, int minutes = 0, int rank = 0) =>
        new(Quantity.Temperature, at, celsius, TimeSpan.FromMinutes(minutes), rank);

    public static Reading Humidity(DateTimeOffset at, double percent, int minutes = 0, int rank = 0) =>
        new(Quantity.Humidity, at, percent, TimeSpan.FromMinutes(minutes), rank);

    public static Reading Leaf(DateTimeOffset at, double value, int minutes = 0) =>
        new(Quantity.LeafWetness, at, value, TimeSpan.FromMinutes(minutes));

    public static Reading LeafUnderShelter(DateTimeOffset at, double value, int minutes = 0) =>
        new(Quantity.LeafWetnessUnderShelter, at, value, TimeSpan.FromMinutes(minutes));

    public static Reading Rain(DateTimeOffset at, double mm, int minutes = 0, int rank = 0) =>
        new(Quantity.Rain, at, mm, TimeSpan.FromMinutes(minutes), rank);

    /// <summary>The interval of ten minutes that begins so many intervals after midnight.</summary>
    public static WeatherInterval Interval(int number, double? tempC = 10, double? rainMm = 0, double? humidityPct = null) =>
        new(
            Midnight.AddMinutes(10 * number),
            TimeSpan.FromMinutes(10),
            tempC,
            humidityPct,
            null,
            rainMm,
            null,
            0,
            tempC is null ? 0 : 1,
            humidityPct is null ? 0 : 1);
}

/// <summary>Weather written down row by row; each row describes the ten minutes (or so) from its time on.</summary>
internal sealed class Diary(DateTimeOffset? from = null, int rowMinutes = 10)
{
    private readonly List<Reading> _readings = [];

    public IReadOnlyList<Reading> Readings => _readings;

    public DateTimeOffset Now { get; private set; } = from ?? Some.Midnight;

    /// <summary>Rows of one kind; all the rain falls in the first of them. A missing value is <c>null</c>.</summary>
    public Diary Rows(
        double hours,
        double? tempC,
        double? humidityPct,
        double? rainMm = 0,
        double? leaf = null,
        double? underShelter = null)
    {
        var end = Now + Some.Minutes(hours);
        for (var first = true; Now < end; first = false, Now = Now.AddMinutes(rowMinutes))
        {
            if (tempC is { } t)
                _readings.Add(Some.Temperature(Now, t, rowMinutes));
            if (humidityPct is { } h)
                _readings.Add(Some.Humidity(Now, h, rowMinutes));
            if (leaf is { } l)
                _readings.Add(Some.Leaf(Now, l, rowMinutes));
            if (underShelter is { } u)
                _readings.Add(Some.LeafUnderShelter(Now, u, rowMinutes));
            if (rainMm is { } r)
                _readings.Add(Some.Rain(Now, first ? r : 0, rowMinutes));
        }

        return this;
    }

    /// <summary>Humid air, wet leaves.</summary>
    public Diary Wet(double hours, double tempC = 10, double? rainMm = 0) => Rows(hours, tempC, 95, rainMm);

    public Diary Dry(double hours, double tempC = 10) => Rows(hours, tempC, 60);

    public Diary Silence(double hours)
    {
        Now += Some.Minutes(hours);
        return this;
    }

    /// <summary>Tells a watch everything and, at the end, that the log is over.</summary>
    public Seen Replayed(Site? site = null) => Seen.From(site ?? Some.Garden(), Readings.Select(reading => (reading, reading.Time)));

    /// <summary>Tells a watch everything and lets time pass until what was told is judged; the season goes on.</summary>
    public Seen Live(Site? site = null)
    {
        site ??= Some.Garden();
        return Seen.From(site, Readings.Select(reading => (reading, reading.Time)), Now + site.LateAllowance);
    }
}

/// <summary>What a watch said, and the watch.</summary>
internal sealed record Seen(SiteWatch Watch, IReadOnlyList<SentinelEvent> Events)
{
    public static Seen From(Site site, IEnumerable<(Reading Reading, DateTimeOffset ReceivedAt)> told, DateTimeOffset? liveUntil = null)
    {
        var events = new List<SentinelEvent>();
        var watch = new SiteWatch(site, events.Add);
        foreach (var (reading, receivedAt) in told)
            watch.Accept(reading, receivedAt);
        if (liveUntil is { } until)
            watch.AdvanceTo(until);
        else
            watch.Finish();
        return new Seen(watch, events);
    }

    public IReadOnlyList<WetSpell> Spells => [.. Events.OfType<WetSpellEnded>().Select(ended => ended.Spell)];

    public IReadOnlyList<LevelChanged> Changes => [.. Events.OfType<LevelChanged>()];

    public IReadOnlyList<InfectionWindow> Opened(RuleName rule = RuleName.WetHours) =>
        [.. Events.OfType<InfectionWindowOpened>().Select(opened => opened.Window).Where(window => window.Rule == rule.Word())];

    public IReadOnlyList<InfectionWindow> Closed(RuleName rule = RuleName.WetHours) =>
        [.. Events.OfType<InfectionWindowClosed>().Select(closed => closed.Window).Where(window => window.Rule == rule.Word())];

    public PlantingRisk Risk => Watch.Risks[0];
}
