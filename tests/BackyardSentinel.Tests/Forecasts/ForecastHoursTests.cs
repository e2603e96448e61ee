using BackyardSentinel.Weather;
using CsCheck;

namespace BackyardSentinel.Forecasts;

/// <summary>How numbers of any length are brought onto the clock hours.</summary>
public sealed class ForecastHoursTests
{
    private static readonly DateTimeOffset Start = new(2027, 2, 1, 0, 0, 0, TimeSpan.Zero);

    private readonly record struct Block(DateTimeOffset Start, int Minutes, double Value);

    private static readonly int[] Lengths = [10, 15, 30, 45, 60, 90, 180, 360, 720];

    private static readonly Gen<(int Minutes, double Mm)[]> Blocks =
        Gen.Select(Gen.Int[0, 8].Select(i => Lengths[i]), Gen.Double[0, 40]).Array[1, 30];

    private static List<Block> InARow((int Minutes, double Mm)[] lengths, int offsetMinutes)
    {
        var blocks = new List<Block>();
        var at = Start.AddMinutes(offsetMinutes);
        foreach (var (minutes, mm) in lengths)
        {
            blocks.Add(new Block(at, minutes, mm));
            at = at.AddMinutes(minutes);
        }

        return blocks;
    }

    private static ForecastResult Read(IEnumerable<Block> blocks, ForecastField field)
    {
        var entries = blocks.Select(block =>
            string.Create(
                CultureInfo.InvariantCulture,
                $"{{\"time\":\"{block.Start:yyyy-MM-dd'T'HH:mm}Z{(block.Minutes > 0 ? $"/PT{block.Minutes}M" : "")}"
                    + $"\",\"value\":{block.Value:R}}}"));
        var map = new ForecastMap
        {
            Shape = ForecastShape.Layers,
            Source = "Weir Office",
            Quantities = [field],
        };
        return ForecastReader.Read(Encoding.UTF8.GetBytes($"{{\"x\":[{string.Join(',', entries)}]}}"), map, Start);
    }

    private static IReadOnlyList<ForecastHour> Rain(IEnumerable<Block> blocks)
    {
        var result = Read(blocks, new ForecastField(ForecastQuantity.Rain, "x", kind: ForecastKind.Sum));
        Assert.Empty(result.Remarks);
        return result.Forecast!.Hours;
    }

    /// <summary>Totals keep to ±0.05 mm however blocks and hours cut each other and in whatever order they come.</summary>
    [Fact]
    public void Rain_is_conserved_whatever_the_lengths_of_the_blocks() =>
        Gen.Select(Blocks, Gen.Int[0, 59], Gen.Int[0, 1000]).Sample((lengths, offset, seed) =>
        {
            var blocks = InARow(lengths, offset);
            var shuffled = blocks.ToArray();
            new Random(seed).Shuffle(shuffled);

            var hours = Rain(shuffled);

            Assert.Equal(blocks.Sum(block => block.Value), hours.Sum(hour => hour.RainMm) ?? 0, 0.05);
            Assert.All(hours, hour => Assert.True(hour.RainMm >= 0));
            Assert.Equal(Math.Ceiling((offset + blocks.Sum(block => block.Minutes)) / 60.0), hours.Count);
        }, iter: 1000);

    [Fact]
    public void A_long_block_over_short_ones_keeps_its_total_and_leaves_theirs_alone() =>
        Gen.Select(Gen.Double[0, 3].Array[0, 6], Gen.Double[0, 10]).Sample((shorts, more) =>
        {
            var total = shorts.Sum() + more;
            var blocks = shorts.Select((mm, i) => new Block(Start.AddHours(i), 60, mm)).Append(new Block(Start, 360, total));

            var hours = Rain(blocks);

            Assert.Equal(6, hours.Count);
            Assert.Equal(shorts.Length == 6 ? shorts.Sum() : total, hours.Sum(hour => hour.RainMm) ?? 0, 0.05);
            for (var i = 0; i < shorts.Length; i++) Assert.Equal(shorts[i], hours[i].RainMm!.Value, 1e-5);
        }, iter: 500);

    [Fact]
    public void Momentary_values_are_joined_over_six_hours_and_no_more()
    {
        Block[] values = [new(Start, 0, 0), new(Start.AddHours(6), 0, 12), new(Start.AddHours(13), 0, 5), new(Start.AddHours(14.5), 0, 8)];

        var hours = Read(values, new ForecastField(ForecastQuantity.Temperature, "x")).Forecast!.Hours;

        Assert.Equal(
            [(0, 0), (1, 2), (2, 4), (3, 6), (4, 8), (5, 10), (6, 12), (13, 5), (14, 7)],
            hours.Select(hour => (hour.Start.Hour, hour.TemperatureC!.Value)));
    }

    [Fact]
    public void A_mean_needs_half_the_hour()
    {
        var hours = Read(
            [new(Start.AddMinutes(31), 59, 5)],
            new ForecastField(ForecastQuantity.Cloud, "x", kind: ForecastKind.Mean)
        ).Forecast!.Hours;

        Assert.Equal([(Start.AddHours(1), 5.0)], hours.Select(hour => (hour.Start, hour.CloudPct!.Value)));
    }
}
