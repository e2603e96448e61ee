using BackyardSentinel.Events;

namespace BackyardSentinel.Tests;

/// <summary>Rows that are taken at once give what they give one by one, whatever is missing, odd, late or doubled among them.</summary>
public sealed class PlainRowsTests
{
    private static readonly Quantity[] Columns =
        [Quantity.Temperature, Quantity.Humidity, Quantity.LeafWetness, Quantity.Rain, Quantity.WindSpeed];

    [Fact]
    public void Rows_taken_at_once_give_the_same_events_and_picture_as_row_by_row() =>
        Gen.Select(Gen.Int, Gen.Int[1, 12], Gen.Int[0, 60], Gen.Int[0, 400]).Sample(
            (seed, minutes, odd, allowance) =>
            {
                var log = Log(new Random(seed), 3_000, minutes, odd);
                var site = Some.Garden() with { LateAllowance = TimeSpan.FromSeconds(allowance) };
                var (one, atOnce) = (Told(site, log, atOnce: false, out _), Told(site, log, atOnce: true, out var taken));
                Assert.Equal(one, atOnce);
                if (odd == 0 && minutes <= 3)
                    Assert.True(taken > log.Ticks.Length / 2, $"{taken} of {log.Ticks.Length}");
            },
            iter: 20);

    private static List<string> Told(Site site, Rows log, bool atOnce, out int taken)
    {
        List<string> told = [];
        var watch = new SiteWatch(site, fact => told.Add(Words(fact)), onInterval: Judged);
        var verdicts = new QualityVerdict[Quantities.Count];
        var latest = DateTimeOffset.MinValue;
        taken = 0;
        for (var i = 0; i < log.Ticks.Length; i++)
        {
            var time = new DateTimeOffset(log.Ticks[i], TimeSpan.Zero);
            latest = time > latest ? time : latest;
            watch.Accept(time, TimeSpan.Zero, log.Row(i), latest, verdicts);
            if (!atOnce || watch.AcceptPlain(log.Run(i + 1), latest) is not (> 0 and var plain))
                continue;
            (i, taken) = (i + plain, taken + plain);
            latest = new DateTimeOffset(log.Ticks[i], TimeSpan.Zero);
        }

        watch.Finish();
        told.Add(string.Join(' ', watch.Doubts));
        return told;

        void Judged(SiteWatch judged) => told.Add(FormattableString.Invariant($"{judged.LastInterval} {judged.LastWetness}"));

        static string Words(SentinelEvent fact) => $"{fact.Key} {fact}";
    }

    /// <summary>A log whose values drift as weather does; so many of a thousand values and times are odd.</summary>
    private static Rows Log(Random random, int count, int minutes, int odd)
    {
        var log = new Rows(new long[count], new double[Quantities.Count * count]);
        log.Values.AsSpan().Fill(double.NaN);
        var (at, celsius, humidity, leaf) = (Some.Midnight.AddSeconds(random.Next(600)), 8.0, 85.0, 5.0);
        for (var i = 0; i < count; i++, at = at.AddSeconds((60 * minutes) + (Odd() ? random.Next(20_000) : 0)))
        {
            log.Ticks[i] = (Odd() ? at.AddMinutes(random.Next(-90, 90)) : at).UtcTicks;
            celsius = Math.Clamp(celsius + random.NextDouble() - 0.5, -12, 38);
            humidity = Math.Clamp(humidity + (4 * random.NextDouble()) - 2, 30, 100);
            leaf = Math.Clamp(leaf + random.NextDouble() - 0.5, 0, 15);
            double[] row = [celsius, humidity, leaf, random.Next(20) == 0 ? 0.2 : 0, Math.Abs(celsius) / 3];
            for (var column = 0; column < Columns.Length; column++)
                log.Values[((int)Columns[column] * count) + i] = !Odd() ? row[column]
                    : random.Next(3) == 0 ? random.Next(-60, 140) : random.Next(2) == 0 ? row[column] + 25 : double.NaN;
        }

        return log;

        bool Odd() => random.Next(1000) < odd;
    }

    private sealed record Rows(long[] Ticks, double[] Values)
    {
        public RowRun Run(int begin) => new(Ticks.AsSpan(begin), Columns, Values.AsSpan(begin), Ticks.Length);

        public double[] Row(int at) => [.. Quantities.All.Select(of => Values[((int)of.Quantity * Ticks.Length) + at])];
    }
}
