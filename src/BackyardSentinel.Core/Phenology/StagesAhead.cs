using BackyardSentinel.Garden;
using BackyardSentinel.Weather;

namespace BackyardSentinel.Phenology;

/// <summary>
/// A season of a tree sent ahead from where its sums stand: the hours of a forecast, then the usual days of the year. It owns a
/// copy of the sums and may be reckoned on any thread.
/// </summary>
public sealed class StagesAhead
{
    /// <summary>The stages that a grower asks for: swell, green tip, full bloom, petal fall.</summary>
    public static IReadOnlyList<BudStage> Asked { get; } =
        [BudStage.LeafBudSwell, BudStage.GreenTip, BudStage.From(65), BudStage.PetalFall];

    private readonly StageSums _sums;
    private readonly StageNeeds _needs;
    private readonly TimeZoneInfo _zone;
    private readonly Season? _season;
    private readonly SeasonCalendar _calendar;
    private readonly DateTimeOffset _from;
    private readonly Dictionary<DateTimeOffset, double> _forecast = [];
    private readonly UsualHours? _usual;

    /// <summary>Copies where a model stands.</summary>
    /// <param name="model">The model, fed until now; time has begun for it.</param>
    /// <param name="forecast">Hours of a forecast in order.</param>
    /// <param name="usual">The usual hours of the year; <c>null</c>: nothing is known of them.</param>
    public StagesAhead(StageModel model, IReadOnlyList<HourTemperature> forecast, UsualHours? usual)
    {
        (_sums, _needs, _usual) = (model.CopySums(), model.Needs, usual);
        (_zone, _season, _calendar) = (model.Zone, model.Season, model.Calendar);
        foreach (var hour in forecast)
            _forecast[hour.Start] = hour.TempC;
        _from = model.SummedUntil!.Value;
    }

    /// <summary>Reckons the days ahead, until the season is over or nothing is known of what comes.</summary>
    /// <returns>The sums at the end of each day, and the days of the stages that are asked for.</returns>
    public (IReadOnlyList<SumsAhead> Days, IReadOnlyList<(BudStage Stage, StageDates Dates)> Stages) Reckon()
    {
        var sums = _sums.Copy();
        List<SumsAhead> days = [];
        var ahead = new DayAhead(_zone, _season, _calendar);
        ahead.GoTo(_from);
        var today = ahead.Day;
        var end = _season is { } season ? LocalDay.StartOf(season.End, _zone) : _from.AddDays(StageModel.DaysWithoutCalendar);
        for (var hour = _from; hour < end && TemperatureAt(hour) is { } tempC; hour = hour.AddHours(1))
        {
            ahead.GoTo(hour);
            if (ahead.Day != today)
                Note();
            today = ahead.Day;
            sums.Add(today, hour.AddHours(1), tempC, ahead.ChillCounts, ahead.LengtheningHours);
            if (Reached(sums.Latest, BudStage.PetalFall) is not null)
                break;
        }

        Note();
        return (days, [.. Asked.Select(stage => (
            stage,
            new StageDates(Reached(sums.Earliest, stage), Reached(sums.Expected, stage), Reached(sums.Latest, stage))))]);

        void Note() => days.Add(new SumsAhead(
            today,
            sums.Expected.ChillSum,
            sums.Expected.ChillMetOn is not null || sums.Expected.LeafBuds.HeatSum > 0,
            sums.Earliest.LeafBuds.HeatSum / StageBound.Earliest.Factor(_needs),
            sums.Expected.LeafBuds.HeatSum,
            sums.Latest.LeafBuds.HeatSum / StageBound.Latest.Factor(_needs)));
    }

    private double? TemperatureAt(DateTimeOffset hour) => _forecast.TryGetValue(hour, out var tempC) ? tempC : _usual?.At(hour);

    private static DateOnly? Reached(StageTrack track, BudStage stage) =>
        (stage.IsOfLeaves ? track.LeafBuds : track.FlowerBuds).Reached(stage)?.On;
}

/// <summary>Sums at the end of a day to come.</summary>
/// <param name="Day">The local day.</param>
/// <param name="Chill">Expected chill of the season, in the units of the needs.</param>
/// <param name="Warming">Warmth counts for the expected tree.</param>
/// <param name="MostHeat">Warmth of the earliest tree, as much as the expected one would need to be as far, degree hours.</param>
/// <param name="Heat">Warmth of the expected tree, degree hours.</param>
/// <param name="LeastHeat">Warmth of the latest tree, likewise.</param>
public readonly record struct SumsAhead(DateOnly Day, double Chill, bool Warming, double MostHeat, double Heat, double LeastHeat);
