using System.CommandLine;
using BackyardSentinel.Commands;
using BackyardSentinel.Commands.Export;
using BackyardSentinel.Logs;
using Parquet;

namespace BackyardSentinel.Tests.Commands;

/// <summary>What goes out of the store comes back by replay with the same answers.</summary>
public sealed class ExportTests : IDisposable
{
    private static readonly DateTimeOffset Noon = ExplainGarden.Utc(2027, 3, 4, 12);
    private readonly ExplainGarden _garden = new(sensors: "temperature humidity rain leaf-wetness");

    public void Dispose() => _garden.Dispose();

    [Fact]
    public void Exported_readings_give_the_answers_of_the_store()
    {
        Season();
        var path = In("season.csv");
        Assert.Equal((ExitCode.Done, "", ""), Export("readings", "--file", path));
        if (!OperatingSystem.IsWindows())
            Assert.Equal(UnixFileMode.UserRead | UnixFileMode.UserWrite, File.GetUnixFileMode(path));
        var store = ReplaySourcesTests.Run("--garden", _garden.Garden);
        Assert.Contains("infection windows by the rule wet-hours", store.Output, StringComparison.Ordinal);
        Assert.Contains("Unknown from ", store.Output, StringComparison.Ordinal);
        var file = ReplaySourcesTests.Run(path, "--garden", _garden.Garden, "--journal", _garden.Store);
        Assert.Equal(Without(store.Output, _garden.Store), Without(file.Output, path));

        // A spreadsheet may have sorted the rows, packed the file and left a mark before it: nothing of that matters.
        string[] lines = File.ReadAllLines(path);
        File.WriteAllBytes(In("other.gz"), LogFolder.Gzip("\uFEFF" + string.Join("\r\n", lines.Take(1).Concat(lines.Skip(1).Reverse()))));
        var other = ReplaySourcesTests.Run(In("other.gz"), "--garden", _garden.Garden, "--journal", _garden.Store);
        Assert.Equal(Without(store.Output, _garden.Store), Without(other.Output, In("other.gz")));
    }

    [Fact]
    public void A_row_holds_what_was_said_at_one_time_in_si_units_and_utc()
    {
        _garden.Weather(Noon, Noon.AddMinutes(60), 9.1, humidityPct: 97.3, rainMmPerHour: 1);
        using (var store = SentinelStore.Open(_garden.Store))
            store.Commit(new StoreBatch { Outages = { Noon.AddMinutes(40) } });
        var (_, output, _) = Export("readings");
        Assert.Equal(
            """
            time,received,site,place,temperature_c,humidity_pct,leaf_wetness,rain_mm,wind_ms,leaf_wetness_under_shelter,listening
            2027-03-04T12:00:00Z,2027-03-04T12:00:00.000003Z,south-wall,1,9.1,97.3,0.5,0.5,,,
            2027-03-04T12:30:00Z,2027-03-04T12:30:00.000003Z,south-wall,1,9.1,97.3,0.5,0.5,,,
            2027-03-04T12:40:00Z,,south-wall,,,,,,,,stopped

            """,
            output);
        Assert.Equal(output, Export("readings", "--site", "south-wall", "--from", "2027-03-04", "--to", "2027-03-05").Output);
        Assert.Equal(2, Export("readings", "--from", "2027-03-04T12:10:00Z", "--to", "2027-03-04T12:40:00Z").Output.Split('\n').Length - 1);
    }

    [Fact]
    public void Readings_of_a_sensor_that_the_garden_file_has_no_more_are_written_and_told()
    {
        _garden.Weather(Noon, Noon.AddMinutes(30), 9);
        File.WriteAllText(
            _garden.Garden,
            File.ReadAllText(_garden.Garden).Replace("garden/temperature", "garden/air", StringComparison.Ordinal));
        var (code, output, error) = Export("readings", "--file", In("a.csv"));
        Assert.Equal((ExitCode.Findings, ""), (code, output));
        Assert.Equal(
            "The garden file no longer has south-wall/temperature/garden/temperature: "
                + "their readings have no place, and replay leaves them out.\n",
            error);
        Assert.Contains(",south-wall,,9,,,,,,\n", File.ReadAllText(In("a.csv")), StringComparison.Ordinal);
        Assert.DoesNotContain(
            "temperature", ReplaySourcesTests.Run(In("a.csv"), "--garden", _garden.Garden).Output, StringComparison.Ordinal);
    }

    [Fact]
    public void The_journal_comes_back_as_table_and_as_json()
    {
        using (var book = JournalBook.Open(_garden.Store))
        {
            foreach (var entry in Entries)
                book.Add(entry, Noon);
        }

        Assert.Equal(ExitCode.Done, Export("journal", "--file", In("journal.csv")).Code);
        Assert.Equal(ExitCode.Done, Export("journal", "--format", "json", "--file", In("journal.json")).Code);
        foreach (var file in new[] { "journal.csv", "journal.json" })
        {
            List<string> findings = [];
            var back = JournalFile.Read(In(file), "another", findings);
            Assert.Empty(findings);
            Assert.Equal(Entries.Select(entry => entry with { Number = 0 }), back.Select(entry => entry with { Number = 0 }));
        }

        // What a spreadsheet made of it, and what cannot be taken.
        File.WriteAllText(
            In("edited.csv"), "on;planting;kind;code\r\n2027-02-14;white-peach;stage;1\r\n2027-02-20;white-peach;stage;many\r\n");
        List<string> faults = [];
        Assert.Single(JournalFile.Read(In("edited.csv"), "south-wall", faults));
        Assert.Equal(
            $"{In("edited.csv")}, line 3: \"code\" is \"many\"; it is a number from 0 to 99. The entry is left out.",
            Assert.Single(faults));
    }

    [Fact]
    public void Windows_are_those_of_replay_and_copper_is_the_ledger()
    {
        File.AppendAllText(
            _garden.Garden,
            "products:\n  - { id: blue-tub, template: fixed-copper, copper: 50, dose: 5 g/L }\n");
        File.WriteAllText(
            _garden.Garden,
            File.ReadAllText(_garden.Garden).Replace("kind: peach }", "kind: peach, canopy_area: 10 }", StringComparison.Ordinal));
        Season();
        using (var book = JournalBook.Open(_garden.Store))
        {
            book.Add(new SprayEntry(0, "south-wall", "white-peach", new DateOnly(2027, 2, 3), "blue-tub", 4), Noon);
            book.Add(new SprayEntry(0, "south-wall", "white-peach", new DateOnly(2027, 2, 20), "blue-tub", 2), Noon);
        }

        var windows = Export("windows");
        Assert.Equal((ExitCode.Done, ""), (windows.Code, windows.Error));
        Assert.StartsWith("site,planting,rule,opened_at,", windows.Output, StringComparison.Ordinal);
        Assert.Contains("\nsouth-wall,white-peach,wet-hours,2027-03-0", windows.Output, StringComparison.Ordinal);

        // 4 L × 5 g/L × 50 % = 10 g on 10 m² = 10 kg/ha; in 10 m² × 0.2 m × 1.3 t/m³ = 2.6 t of soil 3.8462 mg/kg. By hand.
        Assert.Equal(
            """
            site,planting,on,product,volume_l,copper_g,copper_kg_per_ha,soil_mg_per_kg,season_kg_per_ha,seven_year_kg_per_ha
            south-wall,white-peach,2027-02-03,blue-tub,4,10,10,3.8462,10,10
            south-wall,white-peach,2027-02-20,blue-tub,2,5,5,1.9231,15,15

            """,
            Export("copper").Output);
    }

    [Fact]
    public void What_was_written_down_of_a_site_that_was_renamed_is_missed_aloud()
    {
        using (var book = JournalBook.Open(_garden.Store))
            book.Add(new SprayEntry(0, "south-wall", "white-peach", new DateOnly(2027, 2, 3), "blue-tub", 4), Noon);
        File.WriteAllText(
            _garden.Garden, File.ReadAllText(_garden.Garden).Replace("id: south-wall", "id: long-wall", StringComparison.Ordinal));

        foreach (var table in new[] { "copper", "journal" })
        {
            var (code, output, error) = Export(table);
            Assert.Equal((ExitCode.Findings, 1), (code, output.Count(letter => letter == '\n')));
            Assert.StartsWith(
                "What the journal says of south-wall/white-peach does not count: the garden file does not have it.",
                error,
                StringComparison.Ordinal);
        }
    }

    [Fact]
    public void Intervals_are_the_weather_as_it_was_judged()
    {
        _garden.Weather(Noon, Noon.AddMinutes(60), 9.1, humidityPct: 97.3, rainMmPerHour: 1);
        _garden.Weather(Noon.AddMinutes(60), Noon.AddMinutes(90), -1, humidityPct: 90);
        var (code, output, error) = Export("intervals");
        Assert.Equal((ExitCode.Done, ""), (code, error));
        // The dew point of 9.1 °C and 97.3 %: 8.6942 °C by the Magnus formula with 17.62 and 243.12 °C (WMO-No. 8), worked out apart.
        Assert.Equal(
            """
            site,start,end,temperature_c,humidity_pct,dew_point_c,wind_ms,rain_mm,leaf_wet_share,shelter_wet_share,wet_fraction,wetness
            south-wall,2027-03-04T11:50:00Z,2027-03-04T12:00:00Z,,,,,0.5,,,1,wet
            south-wall,2027-03-04T12:00:00Z,2027-03-04T12:10:00Z,9.1,97.3,8.6942,,,0,,0,dry

            """,
            string.Concat(output.Split('\n').Take(3).Select(line => line + "\n")));
        Assert.Equal(7, output.Split('\n', StringSplitOptions.RemoveEmptyEntries).Length - 1);
        Assert.Equal(
            2, Export("intervals", "--from", "2027-03-04T12:20:00Z", "--to", "2027-03-04T12:40:00Z").Output.Split('\n').Length - 2);
    }

    [Fact]
    public void Of_the_time_whose_readings_have_grown_old_the_hours_are_written_and_it_is_told()
    {
        var begin = ExplainGarden.Utc(2027, 1, 1);
        _garden.Weather(
            begin, begin.AddDays(60), at => 8 + (6 * Math.Sin(at.Hour * Math.PI / 12)) + (at.Minute / 60.0), rainMmPerHour: 0.4);
        var garden = BackyardSentinel.Configuration.GardenFileReader.Read(_garden.Garden).Garden!;
        var before = BackyardSentinel.Live.StoredHours.Of(garden, garden.Sites[0]);
        using (var store = SentinelStore.Open(_garden.Store))
        {
            while (store.GrowOld(begin.AddDays(30), 0, (_, value) => value))
            {
            }
        }

        // What is fitted to temperatures sees the same hours as before, to a tenth of a degree.
        var after = BackyardSentinel.Live.StoredHours.Of(garden, garden.Sites[0]);
        Assert.Equal(before.Select(hour => hour.Start), after.Select(hour => hour.Start));
        Assert.All(before.Zip(after), pair => Assert.Equal(pair.First.TempC, pair.Second.TempC, 0.5));

        const string Told =
            "Before 2027-01-31 01:00 only hourly values are kept (store.keep_years), which nothing can be judged from: "
                + "that time counts as unknown. 'export hours' writes them.\n";
        Assert.Equal((ExitCode.Findings, Told), (Export("readings").Code, Export("readings").Error));
        Assert.Equal((ExitCode.Findings, Told), (Export("windows").Code, Export("windows").Error));
        Assert.Equal((ExitCode.Findings, Told), (Export("intervals").Code, Export("intervals").Error));
        Assert.Equal(ExitCode.Done, Export("readings", "--from", "2027-02-01").Code);
        Assert.Contains(Told.TrimEnd(), ReplaySourcesTests.Run("--garden", _garden.Garden).Output, StringComparison.Ordinal);
        var explained = _garden.Explain(begin.AddDays(60));
        Assert.Equal((ExitCode.Findings, Told), (explained.Code, explained.Error));

        var hours = Export("hours");
        Assert.Equal((ExitCode.Done, ""), (hours.Code, hours.Error));
        Assert.StartsWith(
            """
            site,start,quantity,series,low,mean,high,total,readings,quarters
            south-wall,2027-01-01T00:00:00Z,temperature,south-wall/temperature/garden/temperature,8,8.25,8.5,16.5,2,2
            south-wall,2027-01-01T00:00:00Z,humidity,south-wall/humidity/garden/humidity,60,60,60,120,2,2
            south-wall,2027-01-01T00:00:00Z,rain,south-wall/rain/garden/rain,0.2,0.2,0.2,0.4,2,2
            """,
            hours.Output,
            StringComparison.Ordinal);
        Assert.Equal(
            4 * 24, Export("hours", "--from", "2027-01-05T00:00:00Z", "--to", "2027-01-06T00:00:00Z").Output.Split('\n').Length - 2);
    }

    [Fact]
    public async Task Parquet_holds_the_rows_of_the_table()
    {
        Season();
        var ct = TestContext.Current.CancellationToken;
        Assert.Equal(ExitCode.Done, Export("readings", "--format", "parquet", "--file", In("season.parquet")).Code);
        var rows = Export("readings").Output.Split('\n', StringSplitOptions.RemoveEmptyEntries)
            .Skip(1)
            .Select(line => line.Split(','))
            .ToList();
        await using var reader = await ParquetReader.CreateAsync(In("season.parquet"), cancellationToken: ct);
        Assert.Equal(ReadingsFile.Header.Split(','), reader.Schema.DataFields.Select(field => field.Name));
        Assert.Equal(rows.Count, reader.Metadata!.NumRows);
        // The library's own way to read; that another implementation reads such a file (hyparquet 1.31.5) was seen by hand.
        using var group = reader.OpenRowGroupReader(0);
        foreach (var field in reader.Schema.DataFields.Where(field => field.ClrType == typeof(double)))
        {
            var column = Array.IndexOf(ReadingsFile.Header.Split(','), field.Name);
            var values = new double?[rows.Count];
            await group.ReadAsync<double>(field, values.AsMemory(), cancellationToken: ct);
            Assert.Equal(rows.Select(row => row[column]), values.Select(value => value?.ToString(CultureInfo.InvariantCulture) ?? ""));
        }
    }

    [Fact]
    public void A_pipe_or_a_device_is_left_alone_and_a_link_stays_one()
    {
        _garden.Weather(Noon, Noon.AddHours(1), 9);
        System.Diagnostics.Process.Start("mkfifo", In("pipe")).WaitForExit();
        foreach (var special in new[] { In("pipe"), "/dev/null", "/dev/full" })
            Refused(
                $"--file: {special} is a pipe or a device, and nothing was written. Name an ordinary file.",
                "readings", "--file", special, "--overwrite");

        File.WriteAllText(In("elsewhere.csv"), "");
        File.CreateSymbolicLink(In("link.csv"), In("elsewhere.csv"));
        Assert.Equal(ExitCode.Done, Export("readings", "--file", In("link.csv"), "--overwrite").Code);
        Assert.NotNull(new FileInfo(In("link.csv")).LinkTarget);
        Assert.StartsWith("time,received", File.ReadAllText(In("elsewhere.csv")), StringComparison.Ordinal);
    }

    [Fact]
    public void What_cannot_be_written_is_told_and_nothing_is_harmed()
    {
        _garden.Weather(Noon, Noon.AddHours(1), 9);
        File.WriteAllText(In("mine.csv"), "mine");
        Refused(
            $"--file: {In("mine.csv")} is there already, and nothing was written. Name another file, or add --overwrite.",
            "readings",
            "--file",
            In("mine.csv"));
        Assert.Equal("mine", File.ReadAllText(In("mine.csv")));
        Assert.Equal(ExitCode.Done, Export("readings", "--file", In("mine.csv"), "--overwrite").Code);
        Assert.StartsWith("time,received", File.ReadAllText(In("mine.csv")), StringComparison.Ordinal);
        var store = File.ReadAllBytes(_garden.Store);
        foreach (var own in new[] { _garden.Store, _garden.Store + "-wal", _garden.Garden })
            Refused($"--file: {own} is the garden file, or belongs to the store", "readings", "--file", own, "--overwrite");
        foreach (var (link, own) in new[] { (In("to-store"), _garden.Store), (In("to-garden"), _garden.Garden) })
        {
            File.CreateSymbolicLink(link, own);
            Refused($"--file: {link} is the garden file, or belongs to the store", "readings", "--file", link, "--overwrite");
        }

        Assert.Equal(store, File.ReadAllBytes(_garden.Store));
        Refused("--file: ", "readings", "--file", In("no/such/folder.csv"));
        Refused($"--file: {_garden.Folder} is a folder", "readings", "--file", _garden.Folder);
        Refused("--format parquet is no text; name a file for it with --file.", "readings", "--format", "parquet");
        Refused("--format parquet is for readings; journal is written as csv.", "journal", "--format", "parquet", "--file", In("x"));
        Refused("--format json is for the journal; readings are written as csv or parquet.", "readings", "--format", "json");
        Refused("--site: the garden has no site \"north\"; it has south-wall.", "readings", "--site", "north");
        Refused("--from: \"spring\" is not a date or time", "readings", "--from", "spring");
        Refused("--from is not before --to", "readings", "--from", "2027-03-04", "--to", "2027-03-04");
        File.Delete(_garden.Store);
        Refused("There is no store ", "readings", "--file", In("none.csv"));
        Assert.False(File.Exists(In("none.csv")));
        Assert.Empty(Directory.EnumerateFiles(_garden.Folder, "*.part"));
    }

    [Fact]
    public void Rows_that_cannot_be_read_back_are_told_by_line()
    {
        File.WriteAllText(In("bad.csv"), """
            time,received,site,place,temperature_c,listening
            yesterday,2027-03-04T12:00:00Z,south-wall,1,9,
            2027-03-04T12:00:00Z,late,south-wall,1,9,
            2027-03-04T12:00:00Z,2027-03-04T12:00:00Z,south-wall,first,9,
            2027-03-04T12:00:00Z,2027-03-04T12:00:00Z,south-wall,1,warm,
            2027-03-04T12:00:00Z,,south-wall,,,paused
            2027-03-04T12:00:00Z,2027-03-04T12:00:00Z,south-wall,1,9,
            """);
        var (code, output, _) = ReplaySourcesTests.Run(In("bad.csv"));
        Assert.Equal(ExitCode.Findings, code);
        Assert.Contains(
            """
            Not taken (5):
              FILE:2: "yesterday" is not a time such as 2027-02-01T06:00:00Z
              FILE:3: "late" under received is not a time such as 2027-02-01T06:00:00Z
              FILE:4: place is "first"; it is 1 for the sensor that is preferred, 2 for the next
              FILE:5: temperature_c "warm" is not a number
              FILE:6: listening is "paused"; it is empty or stopped
            """.Replace("FILE", In("bad.csv"), StringComparison.Ordinal),
            output,
            StringComparison.Ordinal);
    }

    [Fact]
    public void Another_culture_changes_nothing()
    {
        Season();
        var expected = Export("readings").Output;
        var store = ReplaySourcesTests.Run("--garden", _garden.Garden).Output;
        var before = CultureInfo.CurrentCulture;
        try
        {
            // The program itself runs without cultures; this is one that writes commas and another minus.
            var other = (CultureInfo)CultureInfo.InvariantCulture.Clone();
            (other.NumberFormat.NumberDecimalSeparator, other.NumberFormat.NegativeSign) = (",", "−");
            (other.DateTimeFormat.TimeSeparator, other.DateTimeFormat.DateSeparator) = (".", ".");
            CultureInfo.CurrentCulture = other;
            Assert.Equal(expected, Export("readings").Output);
            File.WriteAllText(In("season.csv"), expected);
            Assert.Equal(store, ReplaySourcesTests.Run("--garden", _garden.Garden).Output);
            Assert.Equal(
                Without(store, _garden.Store),
                Without(
                    ReplaySourcesTests.Run(In("season.csv"), "--garden", _garden.Garden, "--journal", _garden.Store).Output,
                    In("season.csv")));
        }
        finally
        {
            CultureInfo.CurrentCulture = before;
        }
    }

    private static JournalEntry[] Entries =>
    [
        new SprayEntry(
            0,
            "south-wall",
            "white-peach",
            new DateOnly(2027, 2, 3),
            "copper",
            5,
            2.5,
            new TimeOnly(14, 30)) { Note = "windy, \"gusts\"\nthen still" },
        new StageEntry(0, "south-wall", "white-peach", new DateOnly(2027, 2, 14), 1),
        new ScoutEntry(0, "south-wall", "white-peach", new DateOnly(2027, 4, 20), 20, 2, SymptomStage.Curled),
        new PickEntry(0, "south-wall", "white-peach", new DateOnly(2027, 4, 21)) { Note = "1" },
        new LeafFallEntry(0, "south-wall", "gate-nectarine", new DateOnly(2027, 11, 12), 90),
        new ShelterEntry(0, "south-wall", "gate-nectarine", new DateOnly(2027, 11, 15), true),
    ];

    /// <summary>
    /// Four days with a wet spell, an outage, a second thermometer, readings that came ahead of their time, hours late, and too late
    /// to count.
    /// </summary>
    private void Season()
    {
        var text = File.ReadAllText(_garden.Garden);
        if (!text.Contains("garden/spare", StringComparison.Ordinal))
            File.WriteAllText(
                _garden.Garden,
                text.Replace("series: [", "series: [{ quantity: temperature, topic: garden/first }, ", StringComparison.Ordinal));
        _garden.Weather(Noon.AddHours(-60), Noon.AddHours(-30), at => 8 + (at.Hour / 7.0))
            .Weather(Noon.AddHours(-30), Noon, 9.25, humidityPct: 97, rainMmPerHour: 1)
            .Weather(Noon.AddHours(6), Noon.AddHours(30), at => 8 + (at.Hour / 7.0))
            .Saw("2027-03-02", 9);
        using var store = SentinelStore.Open(_garden.Store);
        store.Commit(new StoreBatch { Outages = { Noon } });
        var temperature = store.SeriesId("south-wall/temperature/garden/temperature");
        var humidity = store.SeriesId("south-wall/humidity/garden/humidity");
        var batch = new StoreBatch();
        foreach (var (series, minutes, value, lateS) in new[]
        {
            (temperature, -500.25, 3.0, 3 * 3600.0),
            (humidity, -490.5, 96.5, -300.0),
            (humidity, -480.5, 50.0, -3000.0),
            (temperature, -400.75, -7.5, 90000.0),
        })
        {
            var at = Noon.AddMinutes(minutes).ToUnixTimeMilliseconds();
            batch.Readings.Add(new StoredReading(series, at, value, (at * 1000) + (long)(lateS * 1e6) + 7));
        }

        store.Commit(batch);
    }

    private string In(string name) => Path.Combine(_garden.Folder, name);

    private static string Without(string output, string file) =>
        output[(output.IndexOf(':', output.IndexOf(file, StringComparison.Ordinal) + file.Length) + 1)..]
        .Split('\n')
        .Where(line => !line.Contains(file, StringComparison.Ordinal))
        .Aggregate(new StringBuilder(), (all, line) => all.Append(line.Replace("rows,", "", StringComparison.Ordinal)).Append('\n'))
        .ToString()[8..];

    private void Refused(string sentence, params string[] arguments)
    {
        var (code, output, error) = Export(arguments);
        Assert.Equal((ExitCode.BadInput, ""), (code, output));
        Assert.StartsWith(sentence, error, StringComparison.Ordinal);
    }

    private (int Code, string Output, string Error) Export(params string[] arguments)
    {
        using StringWriter output = new(), error = new();
        var code = ExportCommand.Create()
            .Parse([.. arguments, "--garden", _garden.Garden])
            .Invoke(new InvocationConfiguration { Output = output, Error = error, EnableDefaultExceptionHandler = false });
        return (code, output.ToString(), error.ToString());
    }
}
