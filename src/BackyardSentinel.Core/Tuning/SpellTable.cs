using System.Runtime.InteropServices;
using BackyardSentinel.Garden;
using BackyardSentinel.Infection;
using BackyardSentinel.Weather;

namespace BackyardSentinel.Tuning;

/// <summary>
/// The wet spells of a recording, followed once by the ordinary tracker: their sums after every interval in which one ran, so
/// that rules with other limits are asked without following them again. Spells in which nothing could be infected are left out.
/// </summary>
internal sealed class SpellTable
{
    private readonly List<Point> _points = [];
    private readonly List<Run> _runs = [];

    private SpellTable()
    {
    }

    /// <summary>The spells, oldest first.</summary>
    public ReadOnlySpan<Run> Runs => CollectionsMarshal.AsSpan(_runs);

    /// <summary>Follows the spells of some plantings that have the same weather.</summary>
    /// <param name="recording">The recording.</param>
    /// <param name="limits">What makes a spell.</param>
    /// <param name="plantings">The plantings, by number.</param>
    public static SpellTable Of(Recording recording, WetSpellLimits limits, IReadOnlyList<int> plantings)
    {
        var table = new SpellTable();
        var (judge, tracker) = (new WetnessJudge(limits), new WetSpellTracker(limits, !recording.Site.HasRainGauge));
        var (first, matters) = (0, false);
        for (var i = 0; i < recording.Count; i++)
        {
            if (recording.ForgetsTemperature(i))
                tracker.ForgetTemperature();
            var weather = recording.At(i);
            var wetness = judge.Judge(weather);
            var roof = recording.RoofOf(plantings[0], i);
            if (roof is { } under)
                (weather, wetness) = (UnderRoof.Of(weather), under.Wetness);
            if (recording.IsSheltered(plantings[0]))
                tracker.NoRainGauge = roof?.NoRainGauge ?? !recording.Site.HasRainGauge;
            tracker.Observe(weather, wetness, out var ended);
            if (tracker.Running is not { } spell)
            {
                if (ended is not null)
                    table.Close(ref first, ref matters, i);
                continue;
            }

            table._points.Add(new Point(i, spell));
            for (var p = 0; p < plantings.Count && !matters; p++)
                matters = recording.Susceptibility(plantings[p], i) > 0;
        }

        table.Close(ref first, ref matters, recording.Count - 1);
        return table;
    }

    /// <summary>Where in a spell a window of the rule <c>wet-hours</c> opens; -1: nowhere.</summary>
    /// <param name="run">The spell.</param>
    /// <param name="limits">The rule's limits.</param>
    /// <param name="recording">The recording.</param>
    /// <param name="planting">The planting, by number.</param>
    public int Opening(in Run run, WetHoursLimits limits, Recording recording, int planting)
    {
        var points = CollectionsMarshal.AsSpan(_points);
        ref readonly var last = ref points[run.To - 1];
        // Wet hours and rain only grow: where the end falls short, so does every part.
        if (!(last.WetHours >= limits.MinWetHours && last.RainMm >= limits.MinRainMm))
            return -1;
        var (low, high) = (run.From, run.To - 1);
        while (low < high)
        {
            var middle = (low + high) / 2;
            if (points[middle].WetHours >= limits.MinWetHours && points[middle].RainMm >= limits.MinRainMm)
                high = middle;
            else
                low = middle + 1;
        }

        for (var i = low; i < run.To; i++)
        {
            if (points[i].MeanTempC < limits.MaxMeanTempC && recording.Susceptibility(planting, points[i].Interval) > 0)
                return i;
        }

        return -1;
    }

    /// <summary>The interval of a point.</summary>
    public int IntervalOf(int point) => _points[point].Interval;

    /// <summary>A window that opened somewhere in a spell came to a level.</summary>
    public bool Reaches(Level level, in Run run, int opening, WetHoursRule rule, Recording recording, int planting)
    {
        if (level <= Level.Possible)
            return true;
        for (var i = opening; i < run.To; i++)
        {
            if (IsReached(i, _points[i].Interval))
                return true;
        }

        // When the spell is over the rule looks at its sums once more, on the tissue as it is then.
        return run.EndedIn > _points[run.To - 1].Interval && IsReached(run.To - 1, run.EndedIn);

        bool IsReached(int point, int interval) =>
            WetHoursRule.LevelOf(rule.Dose(_points[point].Spell, recording.Susceptibility(planting, interval))) >= level;
    }

    private void Close(ref int first, ref bool matters, int endedIn)
    {
        if (matters)
            _runs.Add(new Run(first, _points.Count, endedIn));
        else
            _points.RemoveRange(first, _points.Count - first);
        (first, matters) = (_points.Count, false);
    }

    /// <summary>One spell.</summary>
    /// <param name="From">Its first point.</param>
    /// <param name="To">One past its last point.</param>
    /// <param name="EndedIn">The interval that ended it.</param>
    public readonly record struct Run(int From, int To, int EndedIn);

    /// <summary>A spell's sums after an interval, rounded as they are compared with limits.</summary>
    private readonly struct Point
    {
        private readonly double _wetHours, _meanTempC;

        public Point(int interval, in WetSpell spell)
        {
            Interval = interval;
            (_wetHours, _meanTempC) = (spell.WetHours, spell.MeanTempC ?? double.NaN);
            WetHours = LimitRounding.Rounded(spell.WetHours);
            RainMm = spell.NoRainGauge ? double.PositiveInfinity : LimitRounding.Rounded(spell.RainMm);
            MeanTempC = LimitRounding.Rounded(_meanTempC);
        }

        public int Interval { get; }

        public double WetHours { get; }

        public double RainMm { get; }

        public double MeanTempC { get; }

        /// <summary>As much of the spell as a dose asks for.</summary>
        public WetSpell Spell =>
            new(default, default, _wetHours, 0, double.IsNaN(_meanTempC) ? null : _meanTempC, null, null, false, false);
    }
}
