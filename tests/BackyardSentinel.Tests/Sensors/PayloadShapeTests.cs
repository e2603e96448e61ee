using BackyardSentinel.Sensors;

namespace BackyardSentinel.Tests.Sensors;

/// <summary>
/// Seventy shapes in which garden sensors send what they measure, two messages and more of each, all invented: what comes of them
/// is on record beside them.
/// </summary>
public sealed class PayloadShapeTests
{
    // Set to 1 to write the records anew; read every one of them before committing.
    private const string WriteVariable = "BACKYARD_SENTINEL_WRITE_MESSAGES";

    public static TheoryData<string> Shapes => [.. ShapeFixture.Names];

    [Theory]
    [MemberData(nameof(Shapes))]
    public void A_shape_gives_the_readings_and_reasons_on_record(string name)
    {
        var fixtures = ShapeFixture.Load(name);
        var told = string.Join('\n', fixtures.Select(fixture => fixture.Run()));
        var record = Path.Combine(ShapeFixture.Folder, name + ".txt");
        if (Environment.GetEnvironmentVariable(WriteVariable) == "1")
            File.WriteAllText(record, told);
        Assert.Equal(File.ReadAllText(record), told);
    }

    [Fact]
    public void There_are_seventy_shapes_with_two_fixtures_and_more()
    {
        Assert.Equal(
            Enumerable.Range(1, 70).Select(number => number.ToString("00", CultureInfo.InvariantCulture)),
            ShapeFixture.Names.Select(name => name[..2]));
        Assert.All(ShapeFixture.Names, name => Assert.True(ShapeFixture.Load(name).Count >= 2, $"{name} has fewer than two fixtures"));
    }

    [Theory]
    [MemberData(nameof(Shapes))]
    public void A_decimal_comma_never_makes_a_number_of_hundreds(string name) =>
        Assert.DoesNotContain(
            ShapeFixture.Load(name).SelectMany(fixture =>
            {
                var map = new PayloadMap(fixture.Garden().Series);
                return fixture
                    .Payloads.Where(one => !one.Payload.AsSpan().Contains((byte)'.') && one.Payload.AsSpan().IndexOf("21,5"u8) >= 0)
                    .SelectMany(one => map.Read(one.Topic, one.Payload, DateTimeOffset.UnixEpoch.AddYears(57), false).Readings);
            }),
            reading => Math.Abs(reading.Reading.Value) >= 100);
}
