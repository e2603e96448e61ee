namespace BackyardSentinel.Demo;

/// <summary>
/// The invented weather of the demo's invented garden, from late winter to early summer. It is a story with a fixed
/// script, the same at every run: showers that come to nothing, cold wet days, warm rain, a sensor that falls silent.
/// </summary>
public static class DemoWeather
{
    /// <summary>First moment of the story, UTC.</summary>
    public static readonly DateTimeOffset Begin = new(2027, 2, 1, 0, 0, 0, TimeSpan.Zero);

    /// <summary>End of the story; from here the demo goes on in real time.</summary>
    public static readonly DateTimeOffset End = new(2027, 6, 6, 0, 0, 0, TimeSpan.Zero);

    /// <summary>The hub reports this often.</summary>
    public static readonly TimeSpan Step = TimeSpan.FromMinutes(10);

    /// <summary>The hub's first report, of the first minutes of the story: one at its very begin would speak of the day before.</summary>
    public static readonly DateTimeOffset FirstReport = Begin + Step;

    /// <summary>Rain of the script: when, how long, how much in all, and how much warmer or colder than usual.</summary>
    private static readonly Rain[] Script =
    [
        new(At(2, 4, 14), Hours: 3, Mm: 1.6, TempOffsetC: 1),
        new(At(2, 11, 20), Hours: 14, Mm: 6.4, TempOffsetC: 2),
        new(At(2, 21, 6), Hours: 5, Mm: 9.0, TempOffsetC: 0),
        new(At(3, 3, 9), Hours: 44, Mm: 24.0, TempOffsetC: 1),
        new(At(3, 14, 2), Hours: 4, Mm: 2.2, TempOffsetC: 0),
        new(At(3, 22, 15), Hours: 26, Mm: 13.6, TempOffsetC: -1),
        new(At(4, 2, 5), Hours: 3, Mm: 3.8, TempOffsetC: 1),
        new(At(4, 9, 18), Hours: 20, Mm: 11.0, TempOffsetC: 8),
        new(At(4, 20, 22), Hours: 15, Mm: 5.2, TempOffsetC: -2),
        new(At(5, 6, 12), Hours: 34, Mm: 18.0, TempOffsetC: -4),
        new(At(5, 19, 16), Hours: 2, Mm: 12.0, TempOffsetC: 0),
        new(At(5, 30, 20), Hours: 18, Mm: 9.0, TempOffsetC: 3),
    ];

    /// <summary>The hub has no power for these hours: the sentinel must say that it does not know.</summary>
    private static readonly (DateTimeOffset From, DateTimeOffset To) Silence = (At(4, 14, 5), At(4, 14, 19));

    /// <summary>What the hub measures at a moment; <c>null</c> while it is silent.</summary>
    public static DemoSample? At(DateTimeOffset time)
    {
        if (time >= Silence.From && time < Silence.To)
            return null;

        var day = (time - Begin).TotalDays;
        var hour = time.TimeOfDay.TotalHours;
        var rain = Script.FirstOrDefault(r => time > r.From && time <= r.From.AddHours(r.Hours));
        // Cloud flattens the day's swing and leaves drip for three hours after the rain.
        var cloudy = Script.FirstOrDefault(r => time > r.From.AddHours(-6) && time <= r.From.AddHours(r.Hours + 3));
        var dripping = Script.Any(r => time > r.From && time <= r.From.AddHours(r.Hours + 3));
        var swing = cloudy is null ? 5.5 : 1.5;
        var temperature = 4.5 + (day * 0.105) + (cloudy?.TempOffsetC ?? 0)
            + (swing * Math.Sin(Math.Tau * (hour - 9) / 24)) + (1.2 * Math.Sin(day * 0.83)) + Ripple(time, 0.2);
        var humidity = dripping
            ? 96 + Ripple(time, 2)
            : 68 - (14 * Math.Sin(Math.Tau * (hour - 9) / 24)) + (6 * Math.Sin(day * 1.7)) + Ripple(time, 1);
        var wetness = dripping ? 85 + Ripple(time, 10) : Math.Max(0, 4 + Ripple(time, 3));
        return new DemoSample(
            Math.Round(temperature, 1),
            Math.Round(Math.Clamp(humidity, 20, 100), 0),
            Math.Round(wetness, 0),
            rain is null ? 0 : Tips(rain, time));
    }

    /// <summary>A gauge speaks in tips of 0.2 mm: those that fall in the step before a moment.</summary>
    private static double Tips(Rain rain, DateTimeOffset time)
    {
        var before = Math.Floor(rain.FallenBy(time - Step) / 0.2);
        var now = Math.Floor(rain.FallenBy(time) / 0.2);
        return Math.Round((now - before) * 0.2, 1);
    }

    /// <summary>A little repeatable unrest, within ± the size given.</summary>
    private static double Ripple(DateTimeOffset time, double size)
    {
        var n = (ulong)(time - Begin).TotalMinutes * 0x9E3779B97F4A7C15UL;
        return size * (((n >> 40) / (double)(1 << 24) * 2) - 1);
    }

    private static DateTimeOffset At(int month, int day, int hour) => new(2027, month, day, hour, 0, 0, TimeSpan.Zero);

    private sealed record Rain(DateTimeOffset From, int Hours, double Mm, double TempOffsetC)
    {
        public double FallenBy(DateTimeOffset time) => (Mm * Math.Clamp((time - From).TotalHours / Hours, 0, 1)) + 1e-9;
    }
}
