using BackyardSentinel.Tuning;

namespace BackyardSentinel.Tests.Tuning;

/// <summary>
/// Springs that are invented hour by hour: four wet spells each, five weeks apart, and a look at the shoots twenty days after
/// each of them. Winters are left out, so that spring follows on spring.
/// </summary>
internal sealed class InventedSeasons
{
    private const int Spells = 4, Apart = 35;

    private static readonly DateOnly First = new(2021, 2, 1);

    private static readonly Site Yard = new()
    {
        Id = "garden",
        Step = TimeSpan.FromHours(1),
        Plantings = [new Planting("tree", Stage: Some.GreenTips)],
    };

    private readonly List<(int Year, int Spell, double Hours, double RainMm, double TempC, bool Curl)> _spells = [];

    public static LimitSet Published { get; } = LimitSet.Of(Yard, "wet-hours", First);

    public static IReadOnlyList<LimitAxis> Axes { get; } = [.. LimitAxis.All(RuleName.WetHours).Take(3)];

    public List<ScoutEntry> Looks { get; } = [];

    /// <summary>
    /// One spell of each spring infects, the others fall short of one limit; each lies within a step of the grid from where the
    /// rule changes its mind.
    /// </summary>
    public static InventedSeasons Planted(Random random, WetHoursLimits truth, int years)
    {
        var seasons = new InventedSeasons();
        for (var year = 0; year < years; year++)
        {
            var infecting = random.Next(Spells);
            for (var spell = 0; spell < Spells; spell++)
            {
                var (infects, limit, margin) = (spell == infecting, (year + spell) % 3, 0.1 + (0.8 * random.NextDouble()));
                var hours = Near(0, truth.MinWetHours, true, 5);
                var rain = Near(1, truth.MinRainMm, true, 4);
                var temp = Near(2, truth.MaxMeanTempC, false, 4);
                seasons.Add(year, spell, Math.Max(1, Math.Round(hours)), Math.Max(0.1, rain), temp, infects);

                // The limit in question is missed or met by part of a step; the others are met with ease.
                double Near(int which, double at, bool least, double ease)
                {
                    if (which != limit)
                        return least ? at + ease : at - ease;
                    var step = Step(Axes[which], at, least == infects);
                    return least == infects ? at + (step * margin) : at - (step * margin);
                }
            }
        }

        return seasons;
    }

    /// <summary>Weather and curl have nothing to do with each other.</summary>
    public static InventedSeasons Noise(Random random, int years)
    {
        var seasons = new InventedSeasons();
        for (var i = 0; i < years * Spells; i++)
            seasons.Add(
                i / Spells, i % Spells, random.Next(6, 25), random.NextDouble() * 8,
                8 + (random.NextDouble() * 12), random.NextDouble() < 0.4);
        return seasons;
    }

    /// <summary>Turns round what was found in a year.</summary>
    public InventedSeasons Contradicted(int year)
    {
        for (var i = 0; i < Looks.Count; i++)
        {
            if (SeasonOf(Looks[i].On) == year)
                Looks[i] = Looks[i] with { Curled = Looks[i].Curled > 0 ? 0 : 5 };
        }

        return this;
    }

    /// <summary>Forgets what was found in a year.</summary>
    public InventedSeasons Without(int year)
    {
        Looks.RemoveAll(look => SeasonOf(look.On) == year);
        return this;
    }

    public LimitSearch Searched(double missCost = 3)
    {
        var recording = Recorded();
        var search = new LimitSearch(
            recording, new ScoutedSeasons(recording, Looks, SeasonOf), Published, Axes, missCost);
        for (var part = 0; part < search.Parts; part++)
            search.Score(part);
        for (var one = 0; one < search.Searches; one++)
            search.Search(one);
        return search;
    }

    private static double Step(LimitAxis axis, double at, bool up) =>
        up ? axis.Figures.First(figure => figure > at) - at : at - axis.Figures.Last(figure => figure < at);

    private void Add(int year, int spell, double hours, double rainMm, double tempC, bool curl)
    {
        _spells.Add((year, spell, hours, rainMm, tempC, curl));
        Looks.Add(new ScoutEntry(
            Looks.Count + 1, Yard.Id, "tree", DayOf(year, spell).AddDays(20), 20, curl ? 4 : 0));
    }

    private static DateOnly DayOf(int year, int spell) => First.AddDays(((year * Spells) + spell) * Apart);

    private static int SeasonOf(DateOnly day) => (day.DayNumber - First.DayNumber) / (Spells * Apart);

    private Recording Recorded()
    {
        var recording = new Recording(Yard);
        var at = new DateTimeOffset(First.AddDays(-20).ToDateTime(default), TimeSpan.Zero);
        foreach (var (year, spell, hours, rainMm, tempC, _) in _spells)
        {
            var start = new DateTimeOffset(DayOf(year, spell).ToDateTime(new TimeOnly(6, 0)), TimeSpan.Zero);
            for (; at < start; at = at.AddHours(1))
                Add(60, 0, 10);
            for (var hour = 0; hour < hours; hour++, at = at.AddHours(1))
                Add(95, hour == 0 ? rainMm : 0, tempC);
        }

        for (var end = at.AddDays(40); at < end; at = at.AddHours(1))
            Add(60, 0, 10);
        return recording;

        void Add(double humidity, double rain, double celsius)
        {
            recording.Add(new WeatherInterval(at, Yard.Step, celsius, humidity, null, rain, null, 0, 1, 1));
            recording.Add(0, 1, Cover.None, null);
            recording.SymptomDays[0].NoteOpen(DateOnly.FromDateTime(at.UtcDateTime));
        }
    }
}
