using BackyardSentinel.Garden;

namespace BackyardSentinel.Tuning;

/// <summary>One limit that is varied, and the figures that are tried for it.</summary>
/// <param name="Word">Its key in the garden file.</param>
/// <param name="Figures">The figures tried first, rising; those of a choice are its numbers.</param>
/// <param name="Finest">The search ends at steps of this size; 0: a choice, which has no steps.</param>
/// <param name="Of">The figure in a set.</param>
/// <param name="With">A set with another figure.</param>
public sealed record LimitAxis(
    string Word, IReadOnlyList<double> Figures, double Finest, Func<LimitSet, double> Of, Func<LimitSet, double, LimitSet> With)
{
    /// <summary>It moves levels and opens nothing: only a search for windows of a higher level can tell anything of it.</summary>
    public bool MovesLevelsOnly { get; init; }

    /// <summary>The limits that can be varied, those that are varied unless told otherwise first.</summary>
    /// <param name="rule">The rule.</param>
    public static IReadOnlyList<LimitAxis> All(RuleName rule) => rule switch
    {
        RuleName.WetHours => [.. WetHours(), .. Spell()],
        RuleName.RainDay => [.. RainDay()],
        RuleName.TwoDay => [.. TwoDay(), .. Spell().Where(axis => axis.Word is "wet_humidity" or "wetness_estimator")],
    };

    /// <summary>How many of <see cref="All"/> are varied unless told otherwise.</summary>
    /// <param name="rule">The rule.</param>
    public static int Usual(RuleName rule) => rule == RuleName.RainDay ? 2 : 3;

    /// <summary>How far two sets are apart on this axis, as a share of its width.</summary>
    internal double Apart(LimitSet one, LimitSet other) =>
        Finest == 0 ? Of(one) == Of(other) ? 0 : 1 : Math.Abs(Of(one) - Of(other)) / (Figures[^1] - Figures[0]);

    private static LimitAxis[] WetHours()
    {
        return
        [
            Axis("wet_hours", [6, 8, 10, 12.5, 15, 18, 21, 24], 0.5, limits => limits.MinWetHours, (limits, h) => New(limits, hours: h)),
            Axis("rain", [0, 1, 2, 3, 5, 8], 0.25, limits => limits.MinRainMm, (limits, mm) => New(limits, rain: mm)),
            Axis("temperature", [12, 14, 16, 18, 20, 24], 0.5, limits => limits.MaxMeanTempC, (limits, max) => New(limits, temp: max)),
            Axis("full_wet_hours", [30, 36, 42, 48, 54, 60], 3, limits => limits.FullWetHours, (limits, hours) => New(limits, full: hours))
                with { MovesLevelsOnly = true },
            Axis("full_temperature", [4, 6, 8, 10, 11], 1, limits => limits.FullTempC, (limits, cool) => New(limits, cool: cool))
                with { MovesLevelsOnly = true },
        ];

        static LimitAxis Axis(
            string word,
            double[] figures,
            double finest,
            Func<WetHoursLimits, double> of,
            Func<WetHoursLimits, double, WetHoursLimits> with) => new(
            word,
            figures,
            finest,
            set => of((WetHoursLimits)set.Rule),
            (set, figure) => set with { Rule = with((WetHoursLimits)set.Rule, figure) });

        // Where one limit is moved past the anchor of its curve, the anchor is moved along.
        static WetHoursLimits New(
            WetHoursLimits now, double? rain = null, double? hours = null, double? temp = null, double? full = null, double? cool = null)
        {
            var (minHours, maxTempC) = (hours ?? now.MinWetHours, temp ?? now.MaxMeanTempC);
            return new WetHoursLimits(
                rain ?? now.MinRainMm,
                minHours,
                maxTempC,
                Math.Max(full ?? now.FullWetHours, minHours + 1),
                Math.Min(cool ?? now.FullTempC, maxTempC - 0.5));
        }
    }

    private static LimitAxis[] RainDay() =>
    [
        new(
            "rain",
            [2, 3, 4, 5, 6, 8, 10, 12, 15, 20],
            0.5,
            set => ((RainDayLimits)set.Rule).RainAboveMm,
            (set, mm) => set with { Rule = new RainDayLimits(mm, ((RainDayLimits)set.Rule).MaxTempAboveC) }),
        new(
            "temperature",
            [0, 1, 2, 3, 4, 5, 6, 7, 8, 10],
            0.5,
            set => ((RainDayLimits)set.Rule).MaxTempAboveC,
            (set, celsius) => set with { Rule = new RainDayLimits(((RainDayLimits)set.Rule).RainAboveMm, celsius) }),
    ];

    private static LimitAxis[] TwoDay()
    {
        return
        [
            Axis("wet_hours", [12, 18, 24, 30, 36], 1, limits => limits.LikelyHours, (limits, hours) => New(limits, hours: hours)),
            Axis("lowest_temperature", [2, 4, 6, 8, 10], 0.5, limits => limits.MinTempC, (limits, low) => New(limits, low: low)),
            Axis("temperature", [12, 14, 16, 18, 20, 24], 0.5, limits => limits.MaxTempC, (limits, high) => New(limits, high: high)),
            Axis("humidity", [80, 85, 88, 90, 92, 95], 1, limits => limits.MinHumidityPct, (limits, pct) => New(limits, humidity: pct)),
            Axis("dry_gap", [0, 1, 2, 4], 0.5, limits => limits.LongestBreak.TotalHours, (limits, gap) => New(limits, gap: gap)),
        ];

        static LimitAxis Axis(
            string word, double[] figures, double finest, Func<TwoDayLimits, double> of, Func<TwoDayLimits, double, TwoDayLimits> with) =>
            new(
                word,
                figures,
                finest,
                set => of((TwoDayLimits)set.Rule),
                (set, figure) => set with { Rule = with((TwoDayLimits)set.Rule, figure) });

        static TwoDayLimits New(
            TwoDayLimits now,
            double? hours = null,
            double? low = null,
            double? high = null,
            double? humidity = null,
            double? gap = null) => new(
            Math.Min(low ?? now.MinTempC, high ?? now.MaxTempC),
            high ?? now.MaxTempC,
            humidity ?? now.MinHumidityPct,
            hours ?? now.LikelyHours,
            Math.Max(now.SevereHours, hours ?? now.LikelyHours),
            gap ?? now.LongestBreak.TotalHours);
    }

    private static LimitAxis[] Spell()
    {
        return
        [
            new("dry_gap", [1, 2, 4, 6, 8, 12], 0.5, set => set.Spell.LongestGap.TotalHours, (set, hours) => New(set, gap: hours)),
            new(
                "wet_humidity",
                [80, 83, 86, 88, 90, 92, 94, 96],
                0.5,
                set => set.Spell.WetHumidityPct,
                (set, rh) => New(set, humidity: rh)),
            new(
                "wetness_estimator",
                [0, 1, 2, 3],
                0,
                set => (int)set.Spell.Estimator,
                (set, number) => New(set, estimator: (WetnessEstimator)number)),
            new("start_on", [0, 1], 0, set => set.Spell.StartsOnAnyWetness ? 1 : 0, (set, wet) => New(set, wet: wet > 0)),
        ];

        static LimitSet New(
            LimitSet now, double? gap = null, double? humidity = null, WetnessEstimator? estimator = null, bool? wet = null) =>
            now with
            {
                Spell = new WetSpellLimits(
                    gap ?? now.Spell.LongestGap.TotalHours,
                    wet ?? now.Spell.StartsOnAnyWetness,
                    humidity ?? now.Spell.WetHumidityPct,
                    estimator ?? now.Spell.Estimator),
            };
    }
}
