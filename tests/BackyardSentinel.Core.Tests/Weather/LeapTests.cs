namespace BackyardSentinel.Weather;

public sealed class LeapTests
{
    private static readonly DateTimeOffset Start = new(2027, 3, 1, 6, 0, 0, TimeSpan.Zero);

    private static Site Site => new() { Id = "yard", Plantings = [new Planting("peach")] };

    private static Reading Reading(int minute, double value, Quantity quantity = Quantity.Temperature) =>
        new(quantity, Start.AddMinutes(minute), value);

    private static List<QualityVerdict> Verdicts(params (int Minute, double Value)[] readings)
    {
        var builder = new IntervalBuilder(Site);
        return [.. readings.Select(one => builder.Add(Reading(one.Minute, one.Value)))];
    }

    [Fact]
    public void One_value_far_from_its_neighbours_is_refused_and_its_neighbours_are_not() =>
        Assert.Equal(
            [QualityVerdict.Good, QualityVerdict.Leap, QualityVerdict.Good],
            Verdicts((0, 5), (5, 58.9), (10, 5.2)));

    [Fact]
    public void A_leap_that_the_next_value_confirms_is_taken_from_then_on() =>
        Assert.Equal(
            [QualityVerdict.Good, QualityVerdict.Leap, QualityVerdict.Good, QualityVerdict.Good],
            Verdicts((0, 5), (5, 28), (10, 28.4), (15, 28.1)));

    [Fact]
    public void After_half_an_hour_of_silence_any_value_is_taken() =>
        Assert.Equal([QualityVerdict.Good, QualityVerdict.Good], Verdicts((0, 5), (31, 28)));

    [Fact]
    public void Humidity_may_leap_as_a_shower_does_and_no_further()
    {
        var builder = new IntervalBuilder(Site);
        Assert.Equal(QualityVerdict.Good, builder.Add(Reading(0, 38, Quantity.Humidity)));
        Assert.Equal(QualityVerdict.Good, builder.Add(Reading(5, 92, Quantity.Humidity)));
        Assert.Equal(QualityVerdict.Leap, builder.Add(Reading(10, 12, Quantity.Humidity)));
    }

    [Fact]
    public void What_leaps_is_not_in_the_mean()
    {
        var builder = new IntervalBuilder(Site);
        builder.Add(Reading(0, 5));
        builder.Add(Reading(4, 58.9));
        builder.Add(Reading(6, 5));
        Assert.True(builder.TryTake(Start.AddMinutes(10), out var interval));
        Assert.Equal(5, interval.TemperatureC!.Value, 9);
    }

    [Fact]
    public void A_leap_is_no_sign_that_the_whole_series_is_wrong()
    {
        var watch = new SiteWatch(Site, _ => { });
        for (var minute = 0; minute < 24 * 60; minute += 10)
            watch.Accept(Reading(minute, minute == 600 ? 58.9 : 5), Start.AddMinutes(minute));
        Assert.Empty(watch.Doubts);
        Assert.Equal(58.9, watch.LastRefused[Quantity.Temperature].Reading.Value);
        Assert.Empty(watch.Refusing);
    }

    [Fact]
    public void The_means_are_the_same_in_whatever_order_the_readings_came() =>
        Gen.Select(Gen.Int[0, 59].Array[2, 12], Gen.Double[-10, 30].Array[12], Gen.Int)
            .Sample((minutes, values, seed) =>
            {
                var readings = minutes.Distinct().Select((minute, i) => Reading(minute, values[i])).ToList();
                var shuffled = readings.ToArray();
                new Random(seed).Shuffle(shuffled);
                return Means(readings.OrderBy(one => one.Time)).SequenceEqual(Means(shuffled));
            }, iter: 2000);

    [Fact]
    public void It_is_said_what_leapt_and_when_it_counts() =>
        Assert.Equal(
            "leaps by more than 20 °C in half an hour, which no weather does; it counts when the next value agrees",
            QualityControl.Why(Quantity.Temperature, 58.9, QualityVerdict.Leap, UnitSystem.Metric).Text);

    private static List<double?> Means(IEnumerable<Reading> readings)
    {
        var builder = new IntervalBuilder(Site);
        foreach (var reading in readings)
            builder.Add(reading);
        List<double?> means = [];
        // The first reading tells where the intervals begin, so it is the earliest that is asked for.
        while (builder.TryTake(Start.AddHours(1), out var interval))
            means.Add(interval.TemperatureC);
        return means;
    }
}
