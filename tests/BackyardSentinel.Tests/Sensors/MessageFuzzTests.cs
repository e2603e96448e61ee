using System.Text.Json;
using BackyardSentinel.Sensors;

namespace BackyardSentinel.Tests.Sensors;

/// <summary>
/// Messages, topics and paths that nobody would send. In CI for seconds; on demand as many as the variable
/// <c>BACKYARD_SENTINEL_FUZZ</c> says. It begins with the messages of all shapes and of the JSON suite, and with what has been found,
/// in tests/payloads/found.
/// </summary>
public sealed class MessageFuzzTests
{
    private static readonly DateTimeOffset Now = new(2027, 3, 1, 6, 0, 0, TimeSpan.Zero);

    private static readonly int? Asked = LongRun.Asked("FUZZ");

    private static int Messages => Asked ?? 60_000;

    private static List<ShapeFixture> Fixtures { get; } = [.. ShapeFixture.Names.SelectMany(ShapeFixture.Load)];

    /// <summary>The messages, each with the number of the fixture whose it is, if it is one's.</summary>
    private static List<(int? Fixture, byte[] Bytes)> Corpus { get; } =
    [
        .. Fixtures
            .SelectMany((fixture, number) => fixture.Payloads.Select(one => ((int?)number, one.Payload)))
            .Where(one => one.Payload.Length < 2000),
        .. JsonSuiteTests.Files.Select(file => ((int?)null, file.Bytes)).Where(one => one.Bytes.Length < 2000),
        .. Found().Select(bytes => ((int?)null, bytes)),
    ];

    [Fact]
    public void Any_message_gives_sound_readings_or_reasons_and_memory_stays_flat()
    {
        var maps = Fixtures.Select(fixture => new PayloadMap(fixture.Garden().Series)).ToList();
        MessageMutator mutator = new([.. Corpus.Select(one => one.Bytes)], 20270301);
        Random random = new(7);
        long readings = 0, refused = 0, none = 0, half = 0;
        for (var i = 0; i < Messages; i++)
        {
            if (i == Messages / 2)
                half = GC.GetTotalMemory(forceFullCollection: true);
            var message = mutator.Next(out var from);
            var map = maps[random.Next(4) > 0 && Corpus[from].Fixture is { } own ? own : random.Next(maps.Count)];
            var topic = map.Topics.ElementAt(random.Next(map.Topics.Count));
            var at = Now.AddSeconds(i);
            PayloadResult result;
            try
            {
                result = map.Read(topic, message, at, random.Next(8) == 0, random.Next(8) == 0);
            }
            catch (Exception failure)
            {
                throw new InvalidOperationException($"On {topic}: {Convert.ToHexString(message)}", failure);
            }

            Assert.True(IsSound(result, at), $"On {topic}: {Convert.ToHexString(message)}");
            readings += result.Readings.Count;
            refused += result.QuarantineReason is null ? 0 : 1;
            none += result.Readings.Count == 0 && result.QuarantineReason is null ? 1 : 0;
        }

        var grown = GC.GetTotalMemory(forceFullCollection: true) - half;
        LongRun.Tell(
            $"{Messages:#,0} messages: {readings:#,0} readings, {refused:#,0} refused, {none:#,0} without a reading; "
                + $"memory {grown / 1024.0:0} KiB more than at half-time");
        // Among other tests the memory is theirs too.
        Assert.True(Asked is null || grown < 4_000_000, $"{grown} bytes more are held than at half-time");
        Assert.True(readings > Messages / 20 && refused > Messages / 20);
        GC.KeepAlive(maps);
    }

    [Fact]
    public void Any_topic_and_any_path_gives_an_answer()
    {
        var count = Math.Max(Messages / 10, 60_000);
        var map = new PayloadMap(Fixtures.SelectMany(fixture => fixture.Garden().Series).DistinctBy(one => one.Name).ToList());
        using var json = JsonDocument.Parse("""{"a":[{"b":1,"k":"t"},{"b":2,"":3}],"air temp":{"x":[[1,2]]}}""");
        Random random = new(11);
        for (var i = 0; i < count; i++)
        {
            var text = Some(random, "ab/[]*.\"=0129 k+#$é\0'\\", 24);
            if (JsonPath.TryParse(text, out var path, out var reason))
            {
                _ = path.HasEach
                    ? path.FindList(json.RootElement) is { } list && path.FindWithin(list).HasValue
                    : path.Find(json.RootElement).HasValue;
                _ = path.HasHolder(json.RootElement);
            }
            else
            {
                Assert.NotEmpty(reason);
            }

            Assert.NotNull(map.Read(text, "21.5"u8.ToArray(), Now, false));
        }
    }

    [Fact]
    public void A_path_that_the_garden_file_takes_is_one_that_the_reader_takes()
    {
        Random random = new(13);
        var taken = 0;
        for (var i = 0; i < 6000; i++)
        {
            var path = Some(random, "ab[]*.\"=01 k", 12);
            var (garden, _) = GardenFileReader.ReadText(
                "g.yaml",
                $"""
                sites:
                  - id: yard
                    series:
                      - quantity: temperature
                        topic: a/b
                        path: '{path}'
                      - quantity: humidity
                        topic: a/h
                """);
            if (garden is null)
                continue;
            taken++;
            Assert.NotNull(new PayloadMap(garden.Series));
        }

        Assert.True(taken > 200, $"only {taken} were taken");
    }

    internal static bool IsSound(PayloadResult result, DateTimeOffset at) =>
        result.Remarks.TrueForAll(remark => remark.Reason.Text is { Length: > 0 and < 4000 } reason && !reason.Any(char.IsControl))
        && result.Readings.Count <= 2 * 1000
        && result.Readings.TrueForAll(one =>
            double.IsFinite(one.Reading.Value)
            && one.Reading.Time <= at.AddMinutes(10)
            && one.Reading.Time >= at.AddDays(-367)
            && (one.Reading.Quantity != Garden.Quantity.Rain || !one.Series.RainIsTotal || one.Reading.Value is >= 0 and <= 300));

    private static string Some(Random random, string letters, int longest) =>
        string.Concat(Enumerable.Range(0, random.Next(1, longest)).Select(_ => letters[random.Next(letters.Length)]));

    private static IEnumerable<byte[]> Found()
    {
        var folder = Checkout.Path("tests", "payloads", "found");
        return Directory.Exists(folder) ? Directory.EnumerateFiles(folder).Order(StringComparer.Ordinal).Select(File.ReadAllBytes) : [];
    }
}
