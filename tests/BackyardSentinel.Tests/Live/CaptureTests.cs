using BackyardSentinel.Events;
using BackyardSentinel.Infection;
using BackyardSentinel.Logs;
using BackyardSentinel.Sensors;
using BackyardSentinel.Tests.Commands;

namespace BackyardSentinel.Live;

/// <summary>Raw messages beside the loop, and what replay makes of them.</summary>
public sealed class CaptureTests : IDisposable
{
    private static readonly DateTimeOffset Dawn = new(2027, 3, 1, 0, 0, 0, TimeSpan.Zero);
    private readonly string _root = Directory.CreateTempSubdirectory("sentinel-capture-").FullName;
    private readonly FakeTimeProvider _time = new(Dawn);
    private readonly LogLines _said = new();

    private string Folder => In("capture");

    public void Dispose()
    {
        _said.Dispose();
        Directory.Delete(_root, true);
    }

    [Fact]
    public async Task Captured_messages_give_by_replay_the_answers_of_the_store_that_the_service_filled()
    {
        var garden = Garden();
        List<InfectionWindow> told = [];
        using (var store = SentinelStore.Open(garden.Store.Path))
        using (var capture = new Capture(garden.Capture!, _time, _said.Logger))
        {
            var loop = new SentinelLoop(
                store,
                new PayloadMap(garden.Series),
                garden.Sites,
                _ => { },
                new LoopOptions { MaxUnacknowledged = 1, Capacity = 4 },
                _time,
                _said.Logger,
                (_, _, fact) =>
                {
                    if (fact is InfectionWindowClosed { Window: { Rule: "wet-hours" } window })
                        told.Add(window);
                },
                new LoopParts { OnMessage = capture.Take });
            var running = loop.RunAsync(TestContext.Current.CancellationToken);
            foreach (var (at, message) in WetDay())
            {
                _time.SetUtcNow(at);
                var done = new TaskCompletionSource();
                await loop.OfferAsync(
                    new ArrivedMessage(message.Topic, message.Payload, message.Retained, acknowledge: _ =>
                    {
                        done.SetResult();
                        return Task.CompletedTask;
                    }),
                    TestContext.Current.CancellationToken);
                await done.Task.WaitAsync(TestContext.Current.CancellationToken);
            }

            loop.Complete();
            await running;
            await capture.RunAsync(new CancellationToken(canceled: true));
        }

        var live = ReplaySourcesTests.Run("--garden", In("garden.yaml"));
        Assert.Contains("1 infection window by the rule wet-hours", live.Output, StringComparison.Ordinal);
        // What the service told at the time is what is told again.
        var window = Assert.Single(told);
        var local = TimeZoneInfo.ConvertTime(window.OpenedAt, garden.Sites[0].Zone).ToString(
            "yyyy-MM-dd HH:mm", CultureInfo.InvariantCulture);
        Assert.Contains($"white-peach {local} ", live.Output, StringComparison.Ordinal);
        Assert.Contains($" {window.Level.Bar()} {window.Level.Word()} ", live.Output, StringComparison.Ordinal);
        var captured = ReplaySourcesTests.Run(Folder, "--garden", In("garden.yaml"));
        Assert.Equal(Judgement(live.Output), Judgement(captured.Output));
        // What the service refused is refused again, with the line where it stands.
        string[] files = [.. Directory.GetFiles(Folder).Order(StringComparer.Ordinal)];
        Assert.Equal(2, files.Length);
        Assert.Contains($"{files[0]}:5: hub/rain: ", captured.Output, StringComparison.Ordinal);

        // Packed, cut into pieces and put under other names, it is the same log.
        string[] lines = [.. files.SelectMany(File.ReadAllLines)];
        Directory.CreateDirectory(In("pieces"));
        File.WriteAllBytes(In("pieces/z.jsonl.gz"), LogFolder.Gzip(string.Join('\n', lines[..200]) + "\n"));
        File.WriteAllLines(In("pieces/a.jsonl"), lines[200..]);
        Assert.Equal(Judgement(live.Output), Judgement(ReplaySourcesTests.Run(In("pieces"), "--garden", In("garden.yaml")).Output));
    }

    [Fact]
    public async Task A_line_gives_back_every_byte_and_the_files_are_their_owners_alone()
    {
        byte[][] payloads = ["21.5"u8.ToArray(), [], [0xFF, 0x00, 0xFE], "{\"t\": \"é\\u0007\n\"}"u8.ToArray(), "\uFEFF1"u8.ToArray()];
        await WriteAll(
            payloads.Select(
                (payload, i) => (Dawn.AddTicks(i * 1234567), new ArrivedMessage("hub/é", payload, retained: i == 1, redelivered: i == 2))));
        var file = Assert.Single(Directory.GetFiles(Folder));
        Assert.Equal("messages-20270301T000000Z.jsonl", Path.GetFileName(file));
        List<RejectedRow> rejected = [];
        var back = MessagesFile.Read(file, rejected.Add).ToList();
        Assert.Empty(rejected);
        Assert.Equal(payloads, back.Select(message => message.Payload.ToArray()));
        Assert.Equal(payloads.Select((_, i) => Dawn.AddTicks(i * 1234567)), back.Select(message => message.Time));
        Assert.Equal([false, true, false, false, false], back.Select(message => message.Retained));
        Assert.Equal([false, false, true, false, false], back.Select(message => message.Redelivered));
        Assert.All(back, message => Assert.Equal("hub/é", message.Topic));
        foreach (var line in File.ReadAllLines(file))
            Assert.True(BackyardSentinel.Tests.SchemaTests.Holds("captured-message", line), line);
        if (OperatingSystem.IsWindows())
            return;
        Assert.Equal(UnixFileMode.UserRead | UnixFileMode.UserWrite, File.GetUnixFileMode(file));
        Assert.Equal(UnixFileMode.UserRead | UnixFileMode.UserWrite | UnixFileMode.UserExecute, File.GetUnixFileMode(Folder));
    }

    [Fact]
    public async Task Days_and_sizes_begin_new_files_and_the_oldest_make_room()
    {
        var payload = Encoding.UTF8.GetBytes(new string('7', 9_000));
        Directory.CreateDirectory(Folder);
        File.WriteAllText(Path.Combine(Folder, "mine.txt"), "left alone");
        // Twenty days of 100 messages of 9 kB: 18 MB, and 1 MB may be kept; so it is whenever one looks.
        for (var day = 0; day < 20; day++)
        {
            await WriteAll(
                Enumerable.Range(100 * day, 100).Select(i => (Dawn.AddMinutes(14.4 * i), new ArrivedMessage("t", payload))),
                mostBytes: 1_000_000);
            var files = new DirectoryInfo(Folder).GetFiles("messages-*").OrderBy(file => file.Name, StringComparer.Ordinal).ToList();
            Assert.InRange(files.Sum(file => file.Length), day == 0 ? 700_000 : 800_000, 1_000_000);
            Assert.All(files, file => Assert.InRange(file.Length, 1, 125_000));
            Assert.StartsWith($"messages-202703{day + 1:00}T", files[^1].Name, StringComparison.Ordinal);
        }

        Assert.Equal("left alone", File.ReadAllText(Path.Combine(Folder, "mine.txt")));
    }

    [Fact]
    public async Task A_restart_goes_on_in_the_days_file_and_closes_a_line_that_was_cut()
    {
        await WriteAll([(Dawn, new ArrivedMessage("t", "1"u8.ToArray()))]);
        await WriteAll([(Dawn.AddMinutes(1), new ArrivedMessage("t", "1.5"u8.ToArray()))]);
        var file = Assert.Single(Directory.GetFiles(Folder));
        Assert.Equal(2, File.ReadAllLines(file).Length);
        File.AppendAllText(file, "{\"time\":\"2027-03-01T00:00:0");
        await WriteAll([(Dawn.AddHours(1), new ArrivedMessage("t", "2"u8.ToArray()))]);
        Assert.Single(Directory.GetFiles(Folder));
        List<RejectedRow> rejected = [];
        Assert.Equal(
            ["1", "1.5", "2"],
            MessagesFile.Read(file, rejected.Add).Select(message => Encoding.UTF8.GetString(message.Payload.Span)));
        Assert.Equal(3, Assert.Single(rejected).Line);
        Assert.Contains("is no whole JSON object", rejected[0].Reason, StringComparison.Ordinal);
    }

    [Fact]
    public async Task A_folder_that_cannot_be_written_or_a_full_disk_is_told_and_stops_nothing()
    {
        File.WriteAllText(Folder, "a file where the folder should be");
        await WriteAll([(Dawn, new ArrivedMessage("t", "1"u8.ToArray())), (Dawn, new ArrivedMessage("t", "2"u8.ToArray()))]);
        Assert.Single(_said.Lines, line => line.Contains("Raw messages cannot be kept in", StringComparison.Ordinal));
        File.Delete(Folder);
        _time.Advance(TimeSpan.FromHours(2));
        using var capture = new Capture(new CaptureSettings { Folder = Folder, MostBytes = 1_000_000 }, _time, _said.Logger, () => 100);
        _time.Advance(TimeSpan.FromMinutes(1));
        capture.Take(new ArrivedMessage("t", "3"u8.ToArray()), Dawn);
        await capture.RunAsync(new CancellationToken(canceled: true));
        Assert.Contains(_said.Lines, line => line.Contains("less than 500 MB are free", StringComparison.Ordinal));
        Assert.False(Directory.Exists(Folder));
    }

    [Fact]
    public async Task What_cannot_be_written_is_tried_again_each_minute_and_told_each_hour()
    {
        File.WriteAllText(Folder, "a file where the folder should be");
        using var capture = new Capture(new CaptureSettings { Folder = Folder, MostBytes = 1_000_000 }, _time, _said.Logger);
        foreach (var (second, lines) in new (double, int)[] { (0, 1), (60, 1), (3540, 1), (3599.999, 1), (3660, 2) })
        {
            _time.SetUtcNow(Dawn.AddSeconds(second));
            capture.Take(new ArrivedMessage("t", "1"u8.ToArray()), _time.GetUtcNow());
            await capture.RunAsync(new CancellationToken(canceled: true));
            var told = _said.Lines.Count(line => line.Contains("cannot be kept in", StringComparison.Ordinal));
            Assert.Equal((second, lines), (second, told));
        }

        File.Delete(Folder);
        foreach (var (second, kept) in new (double, int)[] { (3719.999, 0), (3720, 1) })
        {
            _time.SetUtcNow(Dawn.AddSeconds(second));
            capture.Take(new ArrivedMessage("t", "1"u8.ToArray()), _time.GetUtcNow());
            await capture.RunAsync(new CancellationToken(canceled: true));
            Assert.Equal((second, kept), (second, Directory.Exists(Folder) ? Directory.GetFiles(Folder).Length : 0));
        }
    }

    [Fact]
    public async Task Room_is_asked_for_each_half_minute_and_where_it_lacks_a_minute_is_left_out_and_told_within_the_hour()
    {
        const long least = 500L * 1024 * 1024;
        var (free, asked) = (least, 0);
        using var capture = new Capture(new CaptureSettings { Folder = Folder, MostBytes = 1_000_000 }, _time, _said.Logger, () =>
        {
            asked++;
            return free;
        });
        (double Second, long Free, int Asked, int Kept, int Lines)[] steps =
        [
            (29.999, least, 0, 1, 0), (30, least, 1, 2, 0), (59.999, least - 1, 1, 3, 0), (60, least - 1, 2, 3, 1),
            (119.999, least, 3, 3, 1), (120, least, 3, 4, 1), (3659.999, least, 4, 5, 1), (3660, least, 4, 6, 2),
        ];
        foreach (var (second, now, times, kept, lines) in steps)
        {
            free = now;
            _time.SetUtcNow(Dawn.AddSeconds(second));
            capture.Take(new ArrivedMessage("t", "1"u8.ToArray()), _time.GetUtcNow());
            await capture.RunAsync(new CancellationToken(canceled: true));
            var file = Assert.Single(Directory.GetFiles(Folder));
            Assert.Equal((second, times, kept, lines), (second, asked, File.ReadAllLines(file).Length, _said.Lines.Count));
        }

        Assert.Equal(
            [
                $"Raw messages cannot be kept in {Folder} (less than 500 MB are free on its disk); the garden is watched on, and it is "
                    + "tried again each minute.",
                $"2 raw messages were not kept in {Folder}; they were judged and stored all the same.",
            ],
            _said.Lines);
    }

    [Fact]
    public async Task A_file_is_filled_to_the_byte()
    {
        const long line = 58; // {"time":"2027-03-01T00:00:10Z","topic":"t","payload":"1"} and its end
        await WriteAll(
            Enumerable.Range(10, 7).Select(second => (Dawn.AddSeconds(second), new ArrivedMessage("t", "1"u8.ToArray()))),
            mostBytes: 8 * 3 * line);
        Assert.Equal(
            [("messages-20270301T000010Z.jsonl", 3), ("messages-20270301T000013Z.jsonl", 3), ("messages-20270301T000016Z.jsonl", 1)],
            Directory.GetFiles(Folder).Order(StringComparer.Ordinal)
                .Select(file => (Path.GetFileName(file), File.ReadAllLines(file).Length)));
    }

    [Fact]
    public void More_than_the_disk_can_take_is_left_out_and_never_waited_for()
    {
        using var capture = new Capture(new CaptureSettings { Folder = Folder, MostBytes = 1_000_000 }, _time, _said.Logger);
        for (var i = 0; i < 10_000; i++)
            capture.Take(new ArrivedMessage("t", "1"u8.ToArray()), Dawn);
        Assert.True(capture.RunAsync(new CancellationToken(canceled: true)).IsCompletedSuccessfully);
        Assert.Contains(_said.Lines, line => line.Contains("5904 raw messages were not kept", StringComparison.Ordinal));
        Assert.Equal(4096, MessagesFile.Read(Assert.Single(Directory.GetFiles(Folder)), _ => { }).Count());
    }

    [Fact]
    public void Lines_that_are_no_messages_are_told_by_line_and_those_of_other_programs_are_read()
    {
        Garden();
        File.WriteAllText(In("m.jsonl"), """
            {"time":"2027-03-01T00:00:00Z","topic":"hub/station","payload":{"at":1803859200,"t":9.5,"h":97}}
            {"time":"2027-03-01T01:00:00+01:00","topic":"hub/rain","payload":100.5}
            {"topic":"hub/rain","payload":"101"}
            {"time":"2027-03-01T00:10:00Z","payload":"101"}
            {"time":"2027-03-01T00:10:00Z","topic":"hub/rain"}
            {"time":"2027-03-01T00:10:00Z","topic":"hub/rain","payload_base64":"*"}
            {"time":"2027-03-01T00:10:00Z","topic":"neighbour/rain","payload":"1"}
            7
            {"time":
            """);
        var (code, output, _) = ReplaySourcesTests.Run(In("m.jsonl"), "--garden", In("garden.yaml"));
        Assert.Equal(Commands.ExitCode.Findings, code);
        Assert.Contains("m.jsonl: 9 rows, ", output, StringComparison.Ordinal);
        Assert.Contains(
            """
            Not taken (7):
              FILE:3: "time" is missing, or no time such as "2027-02-01T06:00:00Z"
              FILE:4: the line has no "topic"
              FILE:5: the line has no "payload", nor a "payload_base64" that can be read
              FILE:6: the line has no "payload", nor a "payload_base64" that can be read
              FILE:8: the line has no "topic"
              FILE:9: "{"time":" is no whole JSON object; a line is like {"time":"2027-02-01T06:00:00Z","topic":"hub/rain","payload":"0.2"}
              FILE:7: neighbour/rain: no series has this topic
            """.Replace("FILE", In("m.jsonl"), StringComparison.Ordinal),
            output,
            StringComparison.Ordinal);
    }

    private async Task WriteAll(IEnumerable<(DateTimeOffset At, ArrivedMessage Message)> messages, long mostBytes = 10_000_000)
    {
        using var capture = new Capture(
            new CaptureSettings { Folder = Folder, MostBytes = mostBytes }, _time, _said.Logger, () => long.MaxValue);
        foreach (var (at, message) in messages)
            capture.Take(message, at);
        await capture.RunAsync(new CancellationToken(canceled: true));
    }

    /// <summary>
    /// A wet day of a station with times of its own, a second thermometer, a rain counter, and what is repeated or refused.
    /// </summary>
    private static IEnumerable<(DateTimeOffset At, ArrivedMessage Message)> WetDay()
    {
        var total = 100.0;
        for (var i = 0; i < 240; i++)
        {
            var at = Dawn.AddMinutes(10 * i).AddMilliseconds(i * 7.25);
            var wet = i is >= 24 and < 120;
            total += wet ? 0.2 : 0;
            yield return Of(
                at,
                "hub/station",
                $"{{\"at\":{at.AddSeconds(-i % 9).ToUnixTimeSeconds()},\"t\":"
                    + $"{(i % 50 == 7 ? "null" : (12.5 + (i % 7)).ToString(CultureInfo.InvariantCulture))},\"h\":{(wet ? 97 : 60)}}}");
            yield return Of(at.AddSeconds(1), "hub/spare", (12.1 + (i % 5)).ToString(CultureInfo.InvariantCulture));
            yield return Of(at.AddSeconds(2), "hub/rain", total.ToString("0.0", CultureInfo.InvariantCulture));
            if (i == 0)
            {
                yield return Of(at.AddSeconds(3), "hub/station", "{\"at\":1,\"t\":9,\"h\":60}");
                yield return Of(at.AddSeconds(4), "hub/rain", "wet!");
            }
        }

        static (DateTimeOffset, ArrivedMessage) Of(DateTimeOffset at, string topic, string payload) =>
            (at, new ArrivedMessage(topic, Encoding.UTF8.GetBytes(payload)));
    }

    /// <summary>The judgement without names of files, counts of rows and what was refused.</summary>
    private static string Judgement(string output)
    {
        var text = output[output.IndexOf(" rows, ", StringComparison.Ordinal)..];
        var end = text.IndexOf("\nNot taken", StringComparison.Ordinal);
        return end < 0 ? text : text[..end];
    }

    private GardenFile Garden()
    {
        File.WriteAllText(In("garden.yaml"), """
            name: Tannery Lane
            broker: { embedded: true }
            store: { path: garden.db }
            capture: { folder: capture, most_mb: 10 }
            sites:
              - id: south-wall
                zone: Europe/Ljubljana
                series:
                  - { quantity: temperature, topic: hub/station, path: t, time: at }
                  - { quantity: temperature, topic: hub/spare }
                  - { quantity: humidity, topic: hub/station, path: h, time: at }
                  - { quantity: rain, topic: hub/rain, counts: total }
                plantings: [{ id: white-peach, kind: peach, stage: 9 }]
            """);
        return GardenFileReader.Read(In("garden.yaml")).Garden!;
    }

    private string In(string name) => Path.Combine(_root, name);
}
