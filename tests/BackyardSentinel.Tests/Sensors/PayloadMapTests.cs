using BackyardSentinel.Units;
using CsCheck;

namespace BackyardSentinel.Sensors;

public sealed class PayloadMapTests
{
    private static readonly DateTimeOffset Now = new(2027, 3, 1, 6, 0, 0, TimeSpan.Zero);

    private static SeriesMap Series(
        string? path = null,
        string? time = null,
        Quantity quantity = Quantity.Temperature,
        bool total = false
    ) =>
        new()
        {
            SiteId = "yard",
            Quantity = quantity,
            Topic = "a/b",
            Path = path,
            TimePath = time,
            RainIsTotal = total,
        };

    private static PayloadResult Read(SeriesMap series, string payload, bool retained = false) =>
        new PayloadMap([series]).Read("a/b", Encoding.UTF8.GetBytes(payload), Now, retained);

    private static double One(SeriesMap series, string payload) => Assert.Single(Read(series, payload).Readings).Reading.Value;

    [Theory]
    [InlineData(null, "21.5")]
    [InlineData(null, "\"21.5\"")]
    [InlineData(null, "\uFEFF21.5")]
    [InlineData("t", "{\"t\":21.5}")]
    [InlineData("t", "{\"t\":\"21.5\"}")]
    [InlineData("t", "\uFEFF{\"t\":21.5}\0")]
    [InlineData("up.obj.tempC", "{\"up\":{\"obj\":{\"tempC\":21.5}}}")]
    [InlineData("[0]", "[21.5,81,0]")]
    [InlineData("a[1].v", "{\"a\":[{\"v\":1},{\"v\":21.5}]}")]
    [InlineData("[\"air temp\"]", "{\"air temp\":21.5}")]
    [InlineData("x[\"a.b\"]", "{\"x\":{\"a.b\":21.5}}")]
    [InlineData("温度", "{\"温度\":21.5}")]
    public void The_value_is_found(string? path, string payload) => Assert.Equal(21.5, One(Series(path), payload));

    [Theory]
    [InlineData("{\"t\":1,\"t\":2}", "twice")]
    [InlineData("{'t':1}", "not JSON")]
    [InlineData("{\"t\":1,}", "not JSON")]
    [InlineData("{\"t\":1}{\"t\":2}", "not JSON")]
    [InlineData("{\"t\":1e400}", "range")]
    [InlineData("{\"t\":true}", "kind true")]
    [InlineData("{\"t\":\"21,5\"}", "comma")]
    [InlineData("{\"t\":\"\\ud800\"}", "Unicode")]
    public void A_broken_payload_is_kept_aside_with_its_reason(string payload, string because)
    {
        var result = Read(Series("t"), payload);
        Assert.Empty(result.Readings);
        Assert.Contains(because, result.QuarantineReason!.Text, StringComparison.Ordinal);
    }

    [Fact]
    public void Too_large_and_too_deep_are_refused_unread()
    {
        Assert.Contains(
            "bytes",
            Read(Series("t"), new string(' ', PayloadMap.MaxPayloadBytes + 1)).QuarantineReason!.Text,
            StringComparison.Ordinal);
        Assert.Contains(
            "deeper", Read(Series("t"), new string('[', 65) + new string(']', 65)).QuarantineReason!.Text, StringComparison.Ordinal);
        Assert.Null(Read(Series("t"), new string('[', 64) + new string(']', 64)).QuarantineReason);
    }

    [Fact]
    public void A_bare_nan_costs_only_its_own_value()
    {
        var map = new PayloadMap([Series("t"), Series("h", quantity: Quantity.Humidity)]);
        var result = map.Read("a/b", Encoding.UTF8.GetBytes("{\"t\":nan,\"h\":81,\"s\":\"nan,nan\"}"), Now, false);
        Assert.Equal(81, Assert.Single(result.Readings).Reading.Value);
        Assert.Null(result.QuarantineReason);
    }

    [Theory]
    [InlineData("\"2027-03-01T05:00:00Z\"")]
    [InlineData("\"2027-03-01T07:00:00+02:00\"")]
    [InlineData("\"2027-03-01 05:00:00.000123456Z\"")]
    [InlineData("1803877200")]
    [InlineData("\"1803877200\"")]
    [InlineData("1803877200000")]
    [InlineData("1803877200000000")]
    [InlineData("1803877200000000000")]
    public void The_sensors_own_time_counts(string time)
    {
        var result = Read(Series("t", "at"), $"{{\"t\":1,\"at\":{time}}}", retained: true);
        Assert.Equal(Now.AddHours(-1), Assert.Single(result.Readings).Reading.Time);
    }

    [Theory]
    [InlineData("\"2027-03-01T06:11:00Z\"")]
    [InlineData("\"1999-12-31T23:59:59Z\"")]
    [InlineData("\"2027-03-01T05:00:00\"")]
    [InlineData("\"yesterday\"")]
    [InlineData("86400")]
    [InlineData("null")]
    public void A_time_that_cannot_be_falls_back_to_arrival_with_a_note(string time)
    {
        var result = Read(Series("t", "at"), $"{{\"t\":1,\"at\":{time}}}");
        Assert.Equal(Now, Assert.Single(result.Readings).Reading.Time);
        Assert.Contains(result.Remarks, remark => remark.Kind == RemarkKind.Note);
    }

    [Fact]
    public void A_retained_message_without_a_time_is_no_reading()
    {
        var result = Read(Series(), "21.5", retained: true);
        Assert.Empty(result.Readings);
        Assert.Contains(result.Remarks, remark => remark.Reason.Text == "retained, age unknown");
        Assert.Null(result.QuarantineReason);
    }

    [Fact]
    public void An_empty_payload_clears_the_series() =>
        Assert.Contains("cleared", Assert.Single(Read(Series(), "", retained: true).Remarks).Reason.Text, StringComparison.Ordinal);

    [Fact]
    public void Two_messages_in_one_millisecond_are_two_readings()
    {
        var map = new PayloadMap([Series()]);
        var first = map.Read("a/b", "1"u8.ToArray(), Now, false).Readings[0].Reading.Time;
        Assert.True(map.Read("a/b", "2"u8.ToArray(), Now, false).Readings[0].Reading.Time > first);
    }

    [Theory]
    [InlineData("°F", 1, 0, 70.7, 21.5)]
    [InlineData("°F", 0.1, 0, 707, 21.5)]
    [InlineData("K", 1, 0.5, 273.15, 0.5)]
    [InlineData("fraction", 1, 0, 0.81, 81)]
    [InlineData("raw", 0.2794, 0, 10, 2.794)]
    [InlineData("in", 1, 0, 1, 25.4)]
    [InlineData("km/h", 1, 0, 36, 10)]
    public void Units_become_the_quantitys_own(string unit, double scale, double offset, double raw, double expected) =>
        Assert.Equal(
            expected,
            (Series() with { Unit = Unit.All.First(one => one.Symbol == unit), Scale = scale, Offset = offset }).ToCanonical(raw),
            9);

    private static List<double> Rain(PayloadMap map, params double[] totals) => [.. totals.Select((total, i) =>
        map.Read("a/b", Encoding.UTF8.GetBytes(FormattableString.Invariant($"{total}")), Now.AddMinutes(10 * i), false).Readings)
        .Where(readings => readings.Count > 0).Select(readings => readings[0].Reading.Value)];

    [Fact]
    public void Rain_totals_become_amounts_and_a_reset_is_never_rain()
    {
        var rain = Rain(new PayloadMap([Series(quantity: Quantity.Rain, total: true)]), 812.6, 813.0, 813.0, 0.0, 0.4, 900, 900.2);
        Assert.Equal([0.4, 0, 0, 0.4, 0.2], rain.Select(mm => Math.Round(mm, 6)));
    }

    [Fact]
    public void Rain_goes_on_from_the_seeded_total_and_a_copy_is_not_counted()
    {
        var series = Series(quantity: Quantity.Rain, total: true);
        var map = new PayloadMap([series]);
        map.Seed(new RainTotal(series.Name, 10, Now.AddMinutes(-10)));
        Assert.Empty(map.Read("a/b", "9"u8.ToArray(), Now, false, redelivered: true).Readings);
        Assert.Equal([1.0], Rain(map, 11));
    }

    [Fact]
    public void Random_rain_is_exact_without_resets_and_never_too_much_with_them() =>
        Gen.Select(Gen.Int[0, 20], Gen.Bool, Gen.Int[0, 9]).Array[1, 60].Sample(steps =>
        {
            var map = new PayloadMap([Series(quantity: Quantity.Rain, total: true)]);
            List<double> totals = [100];
            double truth = 0, resets = 0;
            foreach (var (tips, _, dice) in steps)
            {
                var reset = dice == 0;
                totals.Add((reset ? 0 : totals[^1]) + tips * 0.2);
                truth += tips * 0.2;
                resets += reset ? 1 : 0;
            }

            totals.Add(totals[^1]); // said again, so that what leapt is confirmed
            var rain = Rain(map, [.. totals]);
            var sum = rain.Sum();
            return rain.TrueForAll(mm => mm >= 0) && sum <= truth + resets * 0.3 + 1e-6 && (resets > 0 || Math.Abs(sum - truth) < 1e-6);
        }, iter: 2000);

    [Fact]
    public void A_counter_that_rolls_over_is_exact_also_over_restarts_and_copies() =>
        Gen.Select(Gen.Int[0, 999], Gen.Select(Gen.Int[0, 20], Gen.Int[0, 9]).Array[1, 80]).Sample((start, steps) =>
        {
            var series = Series(quantity: Quantity.Rain, total: true) with { Scale = 0.2, RollsOverAt = 1000 };
            var map = new PayloadMap([series]);
            var (tips, minute, mm) = (start, 0, 0.0);
            RainTotal? kept = null;
            Send(tips);
            foreach (var (more, dice) in steps)
            {
                tips += more;
                Send(tips);
                if (dice == 0)
                    Send(tips); // the same once more
                if (dice == 1 && kept is { } total)
                {
                    Send(tips);
                    map = new PayloadMap([series]);
                    map.Seed(kept.Value);
                }
            }

            Send(tips); // said again, so that what leapt is confirmed
            return Math.Abs(mm - ((tips - start) * 0.2)) < 1e-6;

            void Send(int count)
            {
                var result = map.Read("a/b", Encoding.UTF8.GetBytes($"{count % 1000}"), Now.AddMinutes(10 * minute++), false);
                mm += result.Readings.Sum(one => one.Reading.Value);
                foreach (var total in result.Totals)
                    kept = total;
            }
        }, iter: Rounds.Of(20_000), threads: 1);

    [Fact]
    public void No_bytes_make_it_throw()
    {
        var map = new PayloadMap([
            Series("t", "at"),
            Series("a[0].b", quantity: Quantity.Rain, total: true),
            Series(quantity: Quantity.Humidity),
        ]);
        Gen.OneOf(Gen.Byte.Array[0, 60], Gen.String[Gen.Char["{}[]\":,0123456789.eE-+tab nul\\ud8"], 0, 60].Select(Encoding.UTF8.GetBytes))
            .Sample(bytes => map.Read("a/b", bytes, Now, false) is not null, iter: Rounds.Of(100_000), threads: 1);
    }

    [Fact]
    public void A_bad_path_is_named_at_the_start() =>
        Assert.Contains(
            "not closed",
            Assert.Throws<ArgumentException>(() => new PayloadMap([Series("a[0")])).Message,
            StringComparison.Ordinal);
}
