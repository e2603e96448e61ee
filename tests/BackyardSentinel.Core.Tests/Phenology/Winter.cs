namespace BackyardSentinel.Tests.Phenology;

/// <summary>Hours of temperature for tests: invented ones, and those of a published daily record.</summary>
internal static class Winter
{
    public const double Latitude = 42.13132, Longitude = -1.6;

    public static readonly TimeZoneInfo Madrid = TimeZoneInfo.FindSystemTimeZoneById("Europe/Madrid");

    public static SeasonCalendar North => new(Latitude);

    /// <summary>An invented year: cold in January, a daily swing, and something added to every hour.</summary>
    public static IEnumerable<HourTemperature> Hours(DateTimeOffset from, int days, Func<DateTimeOffset, double>? added = null) =>
        Enumerable.Range(0, days * 24).Select(i =>
        {
            var at = from.AddHours(i);
            var year = Math.Cos(2 * Math.PI * (at.DayOfYear - 20) / 365.25);
            var swing = Math.Sin(2 * Math.PI * (at.Hour - 9) / 24.0);
            return new HourTemperature(at, 13 - (8 * year) + (5 * swing) + (added?.Invoke(at) ?? 0), HourSource.Measured);
        });

    public static DateTimeOffset Utc(int year, int month, int day, int hour = 0) => new(year, month, day, hour, 0, 0, TimeSpan.Zero);

    public static DateOnly Day(int year, int dayOfYear) => new DateOnly(year, 1, 1).AddDays(dayOfYear - 1);

    /// <summary>One row a day: chill portions since the end of October, degree hours above 4.7 °C, extremes.</summary>
    public static List<(DateOnly Day, double Portions, double DegreeHours, DailyExtremes Extremes)> Record(string path) =>
    [
        .. OutsideData.Rows(path).Select(row => (
            Day((int)Number(row["Year"]), (int)Number(row["DOY"])),
            Number(row["CP_cum_since_Nov1"]),
            Number(row["GDHlin47_day"]),
            new DailyExtremes(Number(row["Tmin"]), Number(row["Tmax"])))),
    ];

    /// <summary>The record's days as hours of our daily curve, each hour's mean taken from its middle.</summary>
    public static IEnumerable<HourTemperature> Curve(IReadOnlyList<(DateOnly Day, DailyExtremes Extremes)> days)
    {
        var curves = days.Select(day => CurveDay.Under(
            SunTimes.On(day.Day, Latitude, Longitude, Madrid), Midnight(day.Day), day.Extremes)).ToList();
        for (var i = 0; i < curves.Count; i++)
        {
            for (var hour = 0; hour < 24; hour++)
            {
                yield return new HourTemperature(
                    Midnight(days[i].Day).AddHours(hour).ToUniversalTime(),
                    DailyTemperature.At(hour + 0.5, curves[Math.Max(0, i - 1)], curves[i], curves[Math.Min(curves.Count - 1, i + 1)]),
                    HourSource.Measured);
            }
        }
    }

    private static DateTimeOffset Midnight(DateOnly day) => new(day.ToDateTime(TimeOnly.MinValue), TimeSpan.FromHours(1));

    private static double Number(string text) => double.Parse(text, CultureInfo.InvariantCulture);
}

/// <summary>A model fed with hours, and what it told.</summary>
internal sealed class Told
{
    public Told(
        IEnumerable<HourTemperature> hours,
        IEnumerable<(DateOnly On, int Code)>? logged = null,
        StageNeeds? needs = null,
        double? latitude = Winter.Latitude,
        TimeZoneInfo? zone = null,
        Action<StageModel>? afterHour = null)
    {
        Model = new StageModel(
            needs ?? StageNeeds.Default,
            new SeasonCalendar(latitude),
            zone ?? Winter.Madrid,
            (logged ?? []).Select(seen => new StageObserved(seen.On, BudStage.From(seen.Code))),
            Stages.Add);
        foreach (var hour in hours)
        {
            Model.Add(hour);
            afterHour?.Invoke(Model);
        }
    }

    public StageModel Model { get; }

    public List<StageReached> Stages { get; } = [];

    public StageReached Of(int code) => Stages.Single(stage => stage.Stage.Code == code);
}
