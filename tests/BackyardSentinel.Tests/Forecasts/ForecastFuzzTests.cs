namespace BackyardSentinel.Forecasts;

/// <summary>
/// Forecasts with bytes changed, cut, doubled and swapped at random; what holds of any result is checked. Seeds are fixed.
/// </summary>
public sealed class ForecastFuzzTests
{
    /// <summary>Enough to meet each kind of damage in each shape; a longer run is a matter of this number.</summary>
    private const int Rounds = 400;

    /// <summary>What is put in the place of values.</summary>
    internal static readonly string[] Words =
    [
        "null",
        "1e400",
        "-1e400",
        "NaN",
        "-",
        "\"\\ud800\"",
        "{}",
        "[]",
        "\"\"",
        "9999999999999999999",
        "\"9999-12-31T23:59:59-14:00\"",
        "\"0001-01-01T00:00:00+14:00\"",
        "\"PT99999999H\"",
        "true",
        "[[[[[[[[",
        "\u202e",
        "\0",
    ];

    public static TheoryData<string> Names => [.. ForecastFixture.Names];

    [Theory]
    [MemberData(nameof(Names))]
    public void No_damage_makes_the_reader_throw_or_give_what_cannot_be(string name)
    {
        var fixture = ForecastFixture.Load(name);
        var random = new Random(20270312);
        for (var round = 0; round < Rounds; round++)
        {
            var payload = Damaged(fixture.Payload, random);
            var ageUnknown = round % 2 == 0;
            Check(ForecastReader.Read(payload, fixture.Map, fixture.FetchedAt, ageUnknown), $"{name}, round {round}");
            Check(ForecastReader.Read(payload, null, fixture.FetchedAt, ageUnknown), $"{name} as our own form, round {round}");
        }
    }

    [Theory]
    [MemberData(nameof(Names))]
    public void No_damage_of_our_own_form_makes_the_reader_throw(string name)
    {
        var fixture = ForecastFixture.Load(name);
        var random = new Random(20270313);
        if (ForecastReader.Read(fixture.Payload, fixture.Map, fixture.FetchedAt).Forecast is not { } forecast)
            return; // A fixture that is refused has no form of ours.
        var own = ForecastJson.Write(forecast);
        for (var round = 0; round < Rounds; round++)
            Check(ForecastJson.Read(Damaged(own, random)), $"{name}, round {round}");
    }

    private static byte[] Damaged(byte[] whole, Random random)
    {
        List<byte> bytes = [.. whole];
        for (var times = random.Next(1, 5); times > 0 && bytes.Count > 1; times--)
        {
            var at = random.Next(bytes.Count);
            switch (random.Next(6))
            {
                case 0:
                    bytes[at] = (byte)random.Next(256);
                    break;
                case 1:
                    bytes.RemoveRange(at, random.Next(1, Math.Min(40, bytes.Count - at) + 1));
                    break;
                case 2:
                    bytes.InsertRange(at, bytes.GetRange(at, Math.Min(random.Next(1, 60), bytes.Count - at)));
                    break;
                case 3:
                    bytes[at] = (byte)"0123456789-+eE.,:\"[]{}"[random.Next(22)];
                    break;
                case 4:
                    Replace(bytes, at, random);
                    break;
                default:
                    bytes.RemoveRange(at, bytes.Count - at);
                    break;
            }
        }

        return [.. bytes];
    }

    /// <summary>Puts a word in the place of the value that begins after the next colon or comma.</summary>
    private static void Replace(List<byte> bytes, int at, Random random)
    {
        var from = bytes.FindIndex(at, letter => letter is (byte)':' or (byte)',' or (byte)'[');
        if (from < 0)
            return;
        var to = bytes.FindIndex(from + 1, letter => letter is (byte)',' or (byte)']' or (byte)'}');
        if (to < 0)
            return;
        bytes.RemoveRange(from + 1, to - from - 1);
        bytes.InsertRange(from + 1, System.Text.Encoding.UTF8.GetBytes(Words[random.Next(Words.Length)]));
    }

    internal static void Check(ForecastResult result, string where)
    {
        Assert.True(result.Forecast is null != (result.Reason is null), where);
        if (result.Forecast is not { } forecast)
            return;
        var before = DateTimeOffset.MinValue;
        foreach (var hour in forecast.Hours)
        {
            Assert.True(hour.Start > before && hour.Start.UtcTicks % TimeSpan.TicksPerHour == 0, where);
            Assert.True(hour.TemperatureC is null or (>= Quantities.MinTemperatureC and <= Quantities.MaxTemperatureC), where);
            Assert.True(
                hour.HumidityPct is null or (>= 0 and <= 100) && hour.RainMm is null or (>= 0 and <= Quantities.MaxRainMm),
                where);
            Assert.True(hour.RainProbabilityPct is null or (>= 0 and <= 100) && hour.CloudPct is null or (>= 0 and <= 100), where);
            Assert.True(hour.WindMs is null or (>= 0 and <= Quantities.MaxWindMs), where);
            before = hour.Start;
        }
    }
}
