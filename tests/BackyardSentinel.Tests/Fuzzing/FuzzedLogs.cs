using BackyardSentinel.Logs;
using BackyardSentinel.Sensors;
using BackyardSentinel.Tests.Sensors;

namespace BackyardSentinel.Tests.Fuzzing;

/// <summary>Logs of each sort as replay reads them; tables also as the library reads them, whose rows must be the same.</summary>
internal sealed class FuzzedLogs : FuzzedReader
{
    private static readonly LogOptions[] Options =
    [
        new(),
        new() { Period = TimeSpan.FromMinutes(10), Stamp = LogStamp.Start, Zone = TimeZoneInfo.FindSystemTimeZoneById("Europe/Berlin") },
        new() { Period = TimeSpan.FromHours(1), Stamp = LogStamp.End, Units = Units.UnitSystem.Us, TimePattern = "MM/dd/yyyy HH:mm" },
    ];

    private static readonly GardenFile Garden = GardenFileReader
        .ReadText(
            "garden.yaml",
            """
            sites:
              - id: yard
                series:
                  - {quantity: temperature, topic: hub/t, path: t}
                  - {quantity: humidity, topic: hub/t, path: h}
                  - {quantity: rain, topic: hub/rain}
            """)
        .Garden!;

    private readonly string _path = Path.Combine(Path.GetTempPath(), $"fuzzed-{Environment.ProcessId}.log");

    /// <inheritdoc/>
    public override IEnumerable<byte[]> Seeds =>
        from log in (string[])
        [
            "time,temperature_c,humidity_pct,rain_mm\n2027-02-01T06:00:00Z,9.5,80,0\n2027-02-01T06:10:00Z,-0.5,,0.2\n",
            "time;temperature_c;humidity_pct\r\n2027-02-01 06:00;9,5;80\r\n2027-02-01 06:10:00;9,25;80\r\n",
            "\"time\"\t\"Temp (°F)\"\t\"RH %\"\n\"02/01/2027 06:00\"\t48.5\tNaN\n02/01/2027 07:00\t---\t81\n",
            "Date,Time,Temp [C],Humidity,note\n2027-02-01,6:05,9.5,80,\"two\nlines\"\n2027-02-01,06:15,9.5,80,\"say \"\"so\"\"\"\n",
            "time,temperature_c\n1801440000,5\n1801440600000,5e0\n1801440600,7\n1901440600,7\n1801441200,7\n",
            "time,temperature_c\n2027-03-28T02:30:00,5\n2027-10-31T02:30:00,5\n2027-10-31T02:30:00,5\n2027-10-31T02:30:00+01:00,5\n",
            $"{ReadingsFile.Header}\n2027-02-01T06:00:00Z,2027-02-01T06:00:01Z,yard,1,9.5,80\n2027-02-01T07:00:00Z,,yard,,,,,,,,stopped\n",
            """
            {"time":"2027-02-01T06:00:00Z","topic":"hub/t","payload":{"t":9.5,"h":80}}
            {"time":"2027-02-01T06:10:00Z","topic":"hub/rain","payload":"0.2","retained":true}
            {"time":"2027-02-01T06:20:00Z","topic":"hub/rain","payload_base64":"MC4y","redelivered":true}
            """,
        ]
        from which in Enumerable.Range(0, Options.Length)
        select Input(which, 0, Encoding.UTF8.GetBytes(log));

    /// <inheritdoc/>
    public override IEnumerable<byte[]> Words =>
        Quantities.All.Select(of => of.Column)
            .Concat(ReadingsFile.Keys)
            .Concat(["\r\n", "\"", "\"\"", ",", ";", "\t", "T", "Z", "+01:00", "nan", "NULL", "°C", "(°F)", "[in]", "\uFEFF", "\0"])
            .Concat(["listening", "\"payload\":", "\"payload_base64\":", "\"topic\":", "\"time\":", "2200-01-01", "0001-01-01T00:00:00"])
            .Select(Encoding.UTF8.GetBytes);

    /// <inheritdoc/>
    protected override void Read(byte which, byte how, byte[] bytes)
    {
        var options = Options[which % Options.Length];
        try
        {
            File.WriteAllBytes(_path, bytes);
            switch (LogKinds.Of(_path))
            {
                case LogKind.Table:
                    var rows = Rows(options);
                    if (Quoted(bytes) is { } quoted)
                    {
                        File.WriteAllBytes(_path, quoted);
                        Assert.Equal(Rows(options), rows);
                    }

                    break;
                case LogKind.Readings:
                    List<LoggedReading> readings = [];
                    _ = ReadingsFile.SitesIn(_path);
                    ReadingsFile.Read(_path, 0, null, readings, [], row => Sound(row.Reason));
                    Assert.All(readings, one => Assert.True(double.IsFinite(one.Sensed.Reading.Value)));
                    break;
                case LogKind.Messages:
                    var map = new PayloadMap(Garden.Series);
                    foreach (var one in MessagesFile.Read(_path, row => Sound(row.Reason)))
                    {
                        var result = map.Read(one.Topic, one.Payload, one.Time, one.Retained, one.Redelivered);
                        Assert.True(MessageFuzzTests.IsSound(result, one.Time), one.Topic);
                    }

                    break;
            }
        }
        catch (LogProblemException problem)
        {
            Sound(problem.Message);
        }
        finally
        {
            File.Delete(_path);
        }
    }

    private static void Sound(string sentence) => Assert.True(sentence.Length is > 0 and < 2000 && !sentence.Any(char.IsControl), sentence);

    /// <summary>The same log with its first head in quotes; <c>null</c> where that would be another log.</summary>
    private static byte[]? Quoted(byte[] bytes)
    {
        var end = bytes.AsSpan().IndexOfAny(",;\t\r\n"u8);
        return end > 0 && !bytes.Contains((byte)'"') && bytes.AsSpan(0, end).IndexOfAnyExceptInRange((byte)' ', (byte)'~') < 0
            ? [(byte)'"', .. bytes[..end], (byte)'"', .. bytes[end..]]
            : null;
    }

    private string Rows(LogOptions options)
    {
        var text = new StringBuilder();
        using var log = new LogFile(_path, options, row =>
        {
            Sound(row.Reason);
            text.Append(CultureInfo.InvariantCulture, $"{row.Line} {row.Reason}\n");
        });
        while (log.Read())
        {
            ref readonly var row = ref log.Current;
            Assert.True(row.Period >= TimeSpan.Zero);
            text.Append(CultureInfo.InvariantCulture, $"{row.Line} {row.Time:O} {row.Period}");
            foreach (var value in row.Values)
                text.Append(CultureInfo.InvariantCulture, $" {value:R}");
            text.Append('\n');
        }

        return text.ToString();
    }
}
