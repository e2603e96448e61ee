using BackyardSentinel.Logs;
using BackyardSentinel.Units;

namespace BackyardSentinel.Tests.Logs;

/// <summary>Rows that are cut out of the bytes are held against the library's: a quoted head makes it read the whole file.</summary>
public sealed class LogRowsTests : IDisposable
{
    private static readonly DateTimeOffset Start = new(2027, 2, 1, 0, 0, 0, TimeSpan.Zero);

    private static readonly string[] Ends = ["\n", "\n", "\n", "\r\n"];

    private static readonly string[] Times =
    [
        "2027-02-{2:00}T{0:00}:{1:00}:00Z",
        "2027-02-{2:00}T{0:00}:{1:00}:00Z",
        "2027-02-{2:00}T{0:00}:{1:00}:00Z",
        "2027-02-{2:00} {0:00}:{1:00}",
        "2027-02-30T{0:00}:{1:00}:00Z",
        "yesterday",
        "",
        "2027-02-{2:00}T{0:00}:{1:00}:60Z",
        "0000-02-01T{0:00}:{1:00}:00Z",
        "2027-02-{2:00}T{0:00}:6{1:0}:00Z",
        "2027-02-{2:00}T{0:00}:{1:00}:59z",
        "2027-02-{2:00}T{0:00};{1:00}:00Z",
    ];

    private static readonly string[] Values =
    [
        "9.5",
        "-0.05",
        "-0",
        "12",
        ".5",
        "5.",
        "",
        "-",
        ".",
        "1e1",
        "nan",
        "80 ",
        " 80",
        "ünreadable",
        "1234567890123456",
        "+3",
        "9..5",
        "NULL\0",
    ];

    private readonly DirectoryInfo _folder = Directory.CreateTempSubdirectory("log-rows-");

    public void Dispose() => _folder.Delete(recursive: true);

    [Theory]
    [InlineData(1, ',')]
    [InlineData(2, ';')]
    [InlineData(3, '\t')]
    [InlineData(4, ',')]
    public void Rows_cut_out_of_the_bytes_are_those_that_the_library_reads(int seed, char separator)
    {
        var random = new Random(seed);
        for (var round = 0; round < 60; round++)
        {
            var rows = Rows(random, separator, random.Next(400));
            var head = string.Join(separator, "note", "time", "temperature_c", "humidity_pct", "more");
            var quoted = string.Join(separator, "note", "time", "temperature_c", "humidity_pct", "\"more\"");

            Assert.Equal(Read(quoted + "\n" + rows), Read(head + "\n" + rows));
        }
    }

    [Theory]
    [InlineData(5, ',')]
    [InlineData(6, ';')]
    [InlineData(7, '\t')]
    [InlineData(8, ',')]
    public void Rows_that_are_taken_at_once_are_those_that_are_taken_one_by_one(int seed, char separator)
    {
        var random = new Random(seed);
        string[] heads = ["note", "time", "temperature_c", "humidity_pct", .. random.Next(2) == 0 ? new[] { "more" } : []];
        for (var round = 0; round < 60; round++)
        {
            var log = $"{string.Join(separator, heads)}\n{Rows(random, separator, random.Next(round % 6 == 0 ? 40_000 : 6_000))}";
            var options = random.Next(3) == 0
                ? new LogOptions { From = Start.AddMinutes(random.Next(900)), To = Start.AddMinutes(random.Next(900, 40_000)) }
                : new LogOptions { Units = random.Next(3) == 0 ? UnitSystem.Us : UnitSystem.Metric };

            Assert.Equal(Read(log, options), ReadAhead(log, options));
        }
    }

    [Fact]
    public void What_is_rejected_at_the_head_of_several_files_is_told_before_the_first_row()
    {
        var (odd, even) = (Path.Combine(_folder.FullName, "odd.csv"), Path.Combine(_folder.FullName, "even.csv"));
        File.WriteAllText(odd, "time,temperature_c\nyesterday,9.5\n2027-02-01T00:01:00Z,9.5\n");
        File.WriteAllText(even, "time,humidity_pct\ntoday,80\n2027-02-01T00:00:00Z,80\n");
        var told = new List<string>();
        using var rows = new RowsAhead([odd, even], new LogOptions(), row => told.Add($"{Path.GetFileName(row.File)} {row.Line}"));
        while (rows.Read(out _))
            told.Add($"{rows.Current.Time:HH:mm}");

        Assert.Equal(["odd.csv 2", "even.csv 2", "00:00", "00:01"], told);
    }

    [Fact]
    public void A_row_longer_than_what_is_read_at_once_is_left_to_the_library()
    {
        var rows = $"{new string('x', 300_000)},2027-02-01T00:00:00Z,9.5,80\n,2027-02-01T00:10:00Z,9.5,80\n";

        Assert.Equal("2 2027-02-01T00:00 9.5 80\n3 2027-02-01T00:10 9.5 80\n", Read("note,time,temperature_c,humidity_pct\n" + rows));
    }

    [Theory]
    [InlineData("\uFEFFtime,temperature_c\n2027-02-01T00:00:00Z,9.5")]
    [InlineData("time,temperature_c\r2027-02-01T00:00:00Z,9.5\r")]
    [InlineData("time,temperature_c\r\n2027-02-01T00:00:00Z,9.5\r")]
    public void Marks_of_byte_order_and_lone_carriage_returns_do_no_harm(string log) =>
        Assert.Equal("2 2027-02-01T00:00 9.5 \n", Read(log));

    private static string Rows(Random random, char separator, int count)
    {
        var text = new StringBuilder();
        var quotes = random.Next(3) == 0;
        for (var i = 0; i < count; i++)
        {
            // Most rows are plain, as in logs; some are of each other sort.
            var odd = random.Next(12) == 0;
            var note = quotes && random.Next(60) == 0 ? Quoted(random, separator) : random.Next(4) == 0 ? "näh" : "";
            var at = random.Next(200) == 0 ? Math.Max(0, i - random.Next(4)) : i;
            var form = Times[odd ? random.Next(Times.Length) : 0];
            var time = string.Format(CultureInfo.InvariantCulture, form, at / 60 % 24, at % 60, 1 + (at / 1440));
            var tail = random.Next(30) == 0 ? new string('t', random.Next(80)) : "tail";
            string[] fields = [note, time, Value(), Value(), .. Enumerable.Repeat(tail, random.Next(3))];
            text.Append(
                odd && random.Next(5) == 0
                    ? ""
                    : string.Join(separator, fields[..(odd ? random.Next(1, fields.Length + 1) : fields.Length)]));
            text.Append(i == count - 1 && random.Next(2) == 0 ? "" : Ends[random.Next(Ends.Length)]);

            string Value() => odd ? Values[random.Next(Values.Length)] : (random.Next(4000) / 100.0).ToString(CultureInfo.InvariantCulture);
        }

        return text.ToString();
    }

    private static string Quoted(Random random, char separator) => random.Next(4) switch
    {
        0 => $"\"a{separator}b\"",
        1 => "\"two\nlines\"",
        2 => "5\" pipe",
        _ => "\"say \"\"so\"\"\"",
    };

    private string Read(string log) => Read(log, new LogOptions());

    private string Read(string log, LogOptions options)
    {
        var text = new StringBuilder();
        using var file = new LogFile(Written(log), options, row => text.Append(Words(row)));
        while (file.Read())
            text.Append(Words(file.Current));
        return text.ToString();
    }

    private string ReadAhead(string log, LogOptions options)
    {
        var text = new StringBuilder();
        using var rows = new RowsAhead([Written(log)], options, row => text.Append(Words(row)));
        while (rows.Read(out _))
            text.Append(Words(rows.Current));
        return text.ToString();
    }

    private string Written(string log)
    {
        var path = Path.Combine(_folder.FullName, "log.csv");
        File.WriteAllText(path, log);
        return path;
    }

    private static string Words(RejectedRow row) => string.Create(CultureInfo.InvariantCulture, $"{row.Line} {row.Reason}\n");

    private static string Words(in LogRow row) => string.Create(
        CultureInfo.InvariantCulture,
        $"{row.Line} {row.Time:yyyy-MM-ddTHH:mm} {row[Quantity.Temperature]} {row[Quantity.Humidity]}\n");
}
