using BackyardSentinel.Sensors;
using BackyardSentinel.Tests.Sensors;

namespace BackyardSentinel.Tests.Fuzzing;

/// <summary>Messages of sensors, one after the other, to the series of a fixture; a byte 1E stands between them.</summary>
internal sealed class FuzzedSensors : FuzzedReader
{
    private const byte Between = 0x1E;

    private static readonly DateTimeOffset Six = new(2027, 3, 1, 6, 0, 0, TimeSpan.Zero);

    private static readonly int[] StepsMinutes = [1, 10, 60, 1440];

    private static readonly List<ShapeFixture> Fixtures = [.. ShapeFixture.Names.SelectMany(ShapeFixture.Load)];

    private static readonly List<string> Gardens = [.. Fixtures.Select(fixture => fixture.Series).Distinct()];

    private readonly List<IReadOnlyList<SeriesMap>> _gardens =
        [.. Fixtures.DistinctBy(fixture => fixture.Series).Select(fixture => fixture.Garden().Series)];

    /// <inheritdoc/>
    public override IEnumerable<byte[]> Seeds => Fixtures.Select(fixture => Input(
        Gardens.IndexOf(fixture.Series), 0, [.. fixture.Payloads.SelectMany(one => one.Payload.Prepend(Between)).Skip(1)]));

    /// <inheritdoc/>
    public override IEnumerable<byte[]> Words => MessageMutator.Pieces;

    /// <inheritdoc/>
    protected override void Read(byte which, byte how, byte[] bytes)
    {
        var map = new PayloadMap(_gardens[which % _gardens.Count]);
        var at = Six;
        foreach (var range in bytes.AsSpan().Split(Between))
        {
            foreach (var topic in map.Topics)
            {
                if (!topic.StartsWith("beside/", StringComparison.Ordinal))
                    Assert.True(
                        MessageFuzzTests.IsSound(map.Read(topic, bytes.AsMemory()[range], at, (how & 1) > 0, (how & 2) > 0), at), topic);
            }

            at = at.AddMinutes(StepsMinutes[(how >> 2) & 3]);
        }
    }
}
