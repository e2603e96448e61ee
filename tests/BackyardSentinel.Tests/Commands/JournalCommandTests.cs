using System.CommandLine;
using BackyardSentinel.Commands;
using BackyardSentinel.Commands.Journal;

namespace BackyardSentinel.Tests.Commands;

public sealed class JournalCommandTests : IDisposable
{
    private readonly string _folder = Directory.CreateTempSubdirectory("sentinel-journal-command-").FullName;
    private readonly FakeTimeProvider _time = new(new DateTimeOffset(2027, 4, 1, 22, 30, 0, TimeSpan.Zero));

    public JournalCommandTests()
    {
        File.WriteAllText(Garden, """
        store:
          path: sentinel.db
        products:
          - id: copper
            template: fixed-copper
        sites:
          - id: yard
            zone: Europe/Ljubljana
            latitude: 46
            longitude: 14
            series:
              - quantity: temperature
                topic: g/t
              - quantity: humidity
                topic: g/h
            plantings:
              - id: white-peach
                kind: peach
              - id: gate-nectarine
                kind: nectarine
        """);
        using var store = BackyardSentinel.Storage.SentinelStore.Open(Store);
        store.MarkServed();
    }

    private string Garden => Path.Combine(_folder, "garden.yaml");

    private string Store => Path.Combine(_folder, "sentinel.db");

    public void Dispose() => Directory.Delete(_folder, recursive: true);

    [Fact]
    public void Every_kind_of_entry_can_be_added() =>
        Assert.Equal(
            JournalEntry.Kinds.Order(StringComparer.Ordinal),
            JournalCommand.Create(_time).Subcommands.Single(command => command.Name == "add").Subcommands.Select(command => command.Name)
                .Order(StringComparer.Ordinal));

    [Fact]
    public void Each_kind_of_entry_is_listed_in_words()
    {
        using (var book = BackyardSentinel.Storage.JournalBook.Open(Store))
        {
            foreach (var row in Storage.JournalBookTests.EveryKind)
                book.Add(row.Data with { Note = null }, _time.GetUtcNow());
        }

        var lines = Run("list", "--all").Output.Split('\n', StringSplitOptions.RemoveEmptyEntries);

        Assert.Equal(Storage.JournalBookTests.EveryKind.Count, lines.Length);
        Assert.All(lines, line => Assert.Matches("yard/peach  [a-z0-9]", line));
    }

    [Fact]
    public void A_list_of_one_planting_leaves_out_what_was_taken_back()
    {
        Run("add", "pick", "--planting", "white-peach", "--on", "2027-03-30", "--note", "all\u001b[2Jgone");
        Run("add", "pick", "--planting", "white-peach", "--on", "2027-03-31");
        Run("withdraw", "2");
        Run("add", "pick", "--planting", "gate-nectarine", "--on", "2027-03-29", "--corrects", "1");

        Assert.Equal("", Run("list", "--planting", "white-peach").Output);
        Assert.DoesNotContain("white-peach", Run("list", "--planting", "white-peach", "--json").Output, StringComparison.Ordinal);
        Assert.Contains("takes back 2", Run("list", "--planting", "white-peach", "--all").Output, StringComparison.Ordinal);
        Assert.Contains("all\\u001B[2Jgone", Run("list", "--all").Output, StringComparison.Ordinal);
    }

    [Fact]
    public void A_list_of_a_planting_that_the_journal_does_not_know_says_which_it_does()
    {
        Run("add", "pick", "--planting", "white-peach", "--on", "2027-03-30");
        var (code, output, error) = Run("list", "--planting", "wite-peach");

        Assert.Equal((ExitCode.BadInput, ""), (code, output));
        Assert.Equal("The journal says nothing of wite-peach; it has entries of white-peach.\n", error);
    }

    [Theory]
    [InlineData("5 kg/L", "This dose is 1333.333 times that of the garden file. If it is a slip, write it again with --corrects 1.")]
    [InlineData("0.3 g/L", "This dose is 0.08 times that of the garden file.")]
    [InlineData("5 g/L", null)]
    public void A_dose_that_is_ten_times_another_than_the_products_is_pointed_out(string dose, string? sentence)
    {
        var garden = File.ReadAllText(Garden);
        File.WriteAllText(Garden, garden.Replace("fixed-copper", "fixed-copper\n    dose: 3.75 g/L", StringComparison.Ordinal));
        var output = Run("add", "spray", "copper", "--volume", "5 L", "--dose", dose, "--planting", "white-peach").Output;

        if (sentence is null)
            Assert.DoesNotContain("This dose is", output, StringComparison.Ordinal);
        else
            Assert.Contains(sentence, output, StringComparison.Ordinal);
    }

    [Fact]
    public void An_amount_that_could_not_be_read_back_is_not_written()
    {
        Assert.Contains(
            "--volume",
            Run("add", "spray", "copper", "--volume", "9999999999 L", "--planting", "white-peach").Error,
            StringComparison.Ordinal);
        Assert.Contains(
            "--dose",
            Run("add", "spray", "copper", "--volume", "5 L", "--dose", "9999999 g/L", "--planting", "white-peach").Error,
            StringComparison.Ordinal);
        Assert.Equal(2, Run("add", "scout", "--shoots", "10001", "--curled", "1", "--planting", "white-peach").Code);
        Assert.Contains("empty", Run("list").Output, StringComparison.Ordinal);
    }

    [Fact]
    public void What_is_added_is_listed()
    {
        Assert.Equal(0, Run("add", "stage", "9", "--planting", "white-peach", "--on", "2027-03-10", "--note", "the lower branches").Code);
        Assert.Equal(
            0,
            Run(
                "add",
                "spray",
                "copper",
                "--volume",
                "1.5 gal",
                "--dose",
                "2 oz/gal",
                "--at",
                "9:05",
                "--planting",
                "white-peach",
                "--on",
                "2027-02-03"
            ).Code);
        Assert.Equal(
            0,
            Run("add", "scout", "--curled", "3", "--symptom", "puckered", "--planting", "white-peach", "--on", "2027-03-30").Code);
        Assert.Equal(0, Run("add", "pick", "--planting", "gate-nectarine", "--on", "2027-03-31").Code);
        Assert.Equal(0, Run("add", "leaf-fall", "90", "--planting", "gate-nectarine", "--on", "2026-11-20").Code);

        // The volume: 1.5 US gallons of 3.785411784 L; the dose: 28.349523125 g in each of them (NIST Handbook 44).
        Assert.Equal(
            """
               5  2026-11-20  yard/gate-nectarine  90 % of the leaves down
               2  2027-02-03  yard/white-peach  spray copper, 5.68 L at 15 g/L, ended 09:05
               1  2027-03-10  yard/white-peach  stage 09, green leaf tips show  "the lower branches"
               3  2027-03-30  yard/white-peach  scouted 20 shoots, 3 curled, puckered
               4  2027-03-31  yard/gate-nectarine  curled leaves picked

            """, Run("list").Output);
    }

    [Fact]
    public void Without_a_day_it_is_today_where_the_garden_is()
    {
        // Half past ten in the evening of 1 April in UTC is half past midnight on the 2nd at the site.
        Run("add", "pick", "--planting", "white-peach");

        Assert.Contains("2027-04-02", Run("list").Output, StringComparison.Ordinal);
    }

    [Fact]
    public void A_dry_run_says_what_would_be_written_and_writes_nothing()
    {
        Assert.Equal(
            "Would write: 2027-04-02  yard/white-peach  curled leaves picked\n",
            Run("add", "pick", "--planting", "white-peach", "--dry-run").Output.ReplaceLineEndings("\n"));
        Assert.Contains("The journal is empty", Run("list").Output, StringComparison.Ordinal);
    }

    [Fact]
    public void A_correction_and_a_withdrawal_keep_the_history()
    {
        Run("add", "stage", "9", "--planting", "white-peach", "--on", "2027-03-10");
        Assert.Contains(
            "(in place of 1)",
            Run("add", "stage", "3", "--planting", "white-peach", "--on", "2027-03-10", "--corrects", "1").Output,
            StringComparison.Ordinal);
        Assert.Equal(0, Run("withdraw", "2").Code);

        Assert.DoesNotContain("stage", Run("list").Output, StringComparison.Ordinal);
        var all = Run("list", "--all").Output;
        Assert.Contains("stage 09, green leaf tips show  (no longer holds)", all, StringComparison.Ordinal);
        Assert.Contains(
            "stage 03, leaf buds swollen, light green between the scales  (in place of 1)  (no longer holds)",
            all,
            StringComparison.Ordinal);
        Assert.Contains("takes back 2", all, StringComparison.Ordinal);
    }

    [Theory]
    [InlineData("2027-05-01 is after today, 2027-04-02", "pick", "--planting", "white-peach", "--on", "2027-05-01")]
    [InlineData("\"1 April\" is no day", "pick", "--planting", "white-peach", "--on", "1 April")]
    [InlineData("more than 20 years ago; is the year right?", "pick", "--planting", "white-peach", "--on", "1027-04-01")]
    [InlineData("Stone fruit has no BBCH code 08; near it are", "stage", "8", "--planting", "white-peach", "--on", "2027-03-01")]
    [InlineData("Several plantings could be meant (yard/white-peach, yard/gate-nectarine)", "pick")]
    [InlineData("The garden file has no planting red-peach; it has yard/white-peach", "pick", "--planting", "red-peach")]
    [InlineData("The garden file has no product sulfur; it has copper", "spray", "sulfur", "--volume", "5 L", "--planting", "white-peach")]
    [InlineData("\"-5 L\" is no amount of spray", "spray", "copper", "--volume=-5 L", "--planting", "white-peach")]
    [InlineData("\"5\" is no amount of spray", "spray", "copper", "--volume", "5", "--planting", "white-peach")]
    [InlineData("\"7\" is no dose", "spray", "copper", "--volume", "5 L", "--dose", "7", "--planting", "white-peach")]
    [InlineData("\"afternoon\" is no time of day", "spray", "copper", "--volume", "5 L", "--at", "afternoon", "--planting", "white-peach")]
    [InlineData("The journal has no entry 7 that holds", "pick", "--planting", "white-peach", "--corrects", "7")]
    [InlineData("21 curled shoots cannot be among 20", "scout", "--curled", "21", "--planting", "white-peach")]
    [InlineData("-3 curled shoots cannot be", "scout", "--curled=-3", "--planting", "white-peach")]
    [InlineData(
        "\"budding\" is no stage: write shut, swell, green-tip, first-leaves, bloom, petal-fall, or a BBCH code",
        "stage",
        "budding",
        "--planting",
        "white-peach"
    )]
    [InlineData("0 to 100", "leaf-fall", "140", "--planting", "white-peach")]
    public void What_cannot_be_is_refused_in_a_sentence(string sentence, params string[] entry)
    {
        var (code, output, error) = Run(["add", .. entry]);

        Assert.Equal(ExitCode.BadInput, code);
        Assert.Empty(output);
        Assert.Contains(sentence, error, StringComparison.Ordinal);
        Assert.Contains("The journal is empty", Run("list").Output, StringComparison.Ordinal);
    }

    [Fact]
    public void A_stage_that_runs_backwards_and_a_spray_written_twice_are_refused_with_a_way_out()
    {
        Run("add", "stage", "9", "--planting", "white-peach", "--on", "2027-03-10");
        Run("add", "spray", "copper", "--volume", "5 L", "--planting", "white-peach", "--on", "2027-02-03");

        Assert.Contains(
            "would run backwards: entry 1 has 09 on 2027-03-10",
            Run("add", "stage", "1", "--planting", "white-peach", "--on", "2027-03-20").Error,
            StringComparison.Ordinal);
        Assert.Contains(
            "already written down for 2027-02-03 as entry 2",
            Run("add", "spray", "copper", "--volume", "4 L", "--planting", "white-peach", "--on", "2027-02-03").Error,
            StringComparison.Ordinal);
        // Leaf and flower buds run side by side, and last spring's stages are another year's.
        Assert.Equal(0, Run("add", "stage", "51", "--planting", "white-peach", "--on", "2027-03-12").Code);
        Assert.Equal(0, Run("add", "stage", "69", "--planting", "white-peach", "--on", "2026-04-12").Code);
    }

    [Fact]
    public void The_very_same_entry_is_not_written_twice()
    {
        string[] fallen = ["add", "leaf-fall", "25", "--planting", "white-peach", "--on", "2026-11-01", "--note", "by the wall"];
        Run([.. fallen[..2], "50", .. fallen[3..]]);
        Run(fallen);

        var (code, output, _) = Run(fallen);

        Assert.Equal(ExitCode.Done, code);
        Assert.Contains("It stands there already:    2  2026-11-01", output, StringComparison.Ordinal);
        Assert.Equal(2, Run("list").Output.Trim().Split('\n').Length);
    }

    [Fact]
    public void What_was_put_back_to_what_it_was_before_on_that_day_is_written_again()
    {
        string[] Shelter(string how) => ["add", "shelter", how, "--planting", "white-peach", "--on", "2026-11-01"];
        Run(Shelter("off"));
        Run(Shelter("on"));
        Assert.Contains("Written:", Run(Shelter("off")).Output, StringComparison.Ordinal);
        Assert.Contains("It stands there already:    3", Run(Shelter("off")).Output, StringComparison.Ordinal);
        Assert.Equal(3, Run("list").Output.Trim().Split('\n').Length);
    }

    [Fact]
    public void A_note_that_no_line_can_show_is_refused()
    {
        string[] pick = ["add", "pick", "--planting", "white-peach", "--note"];

        Assert.Contains("at most 200 characters; this one has 201", Run([.. pick, new string('n', 201)]).Error, StringComparison.Ordinal);
        Assert.Equal(ExitCode.Done, Run([.. pick, new string('n', 200)]).Code);
    }

    // The one line on picking states that sources disagree: British and Hamburg advice is for it, California sees no gain.
    [Fact]
    public void Scouting_is_answered_with_the_band_and_what_it_asks_for()
    {
        var light = Run("add", "scout", "--curled", "3", "--symptom", "puckered", "--planting", "white-peach", "--on", "2027-03-30").Output;
        Assert.Contains("3 of 20 shoots: light.", light, StringComparison.Ordinal);
        Assert.Contains("Sources disagree whether picking", light, StringComparison.Ordinal);

        var heavy = Run("add", "scout", "--curled", "15", "--symptom", "curled", "--planting", "white-peach", "--on", "2027-03-31").Output;
        Assert.Contains("15 of 20 shoots: heavy.", heavy, StringComparison.Ordinal);
        Assert.Contains("Do not strip a tree", heavy, StringComparison.Ordinal);
    }

    [Fact]
    public void What_list_prints_as_JSON_replay_reads()
    {
        Run("add", "stage", "9", "--planting", "white-peach", "--on", "2027-03-10");
        var path = Path.Combine(_folder, "journal.json");
        File.WriteAllText(path, Run("list", "--json").Output);

        Assert.Equal(
            [new StageEntry(1, "yard", "white-peach", new DateOnly(2027, 3, 10), 9)],
            BackyardSentinel.Storage.JournalFile.Read(path, "elsewhere", []));
    }

    [Fact]
    public void A_stage_is_written_by_its_name_as_by_its_code()
    {
        Assert.Equal(0, Run("add", "stage", "swell", "--planting", "white-peach", "--on", "2027-02-20").Code);
        Assert.Equal(0, Run("add", "stage", "Green tip", "--planting", "white-peach", "--on", "2027-03-10").Code);

        Assert.Contains("stage 01, leaf buds begin to swell", Run("list").Output, StringComparison.Ordinal);
        Assert.Contains("stage 09, green leaf tips show", Run("list").Output, StringComparison.Ordinal);
    }

    [Fact]
    public void What_is_written_says_in_which_store()
    {
        Assert.Contains(
            $"  in {Path.GetFullPath(Store)}\n",
            Run("add", "pick", "--planting", "white-peach").Output,
            StringComparison.Ordinal);
    }

    [Fact]
    public void A_store_that_is_not_there_swallows_no_note_and_is_not_made_by_reading()
    {
        File.Delete(Store);

        var (code, _, error) = Run("add", "pick", "--planting", "white-peach");
        Assert.Equal(ExitCode.BadInput, code);
        Assert.Contains(
            $"There is no store {Path.GetFullPath(Store)}: the entry would lie where nobody reads it.",
            error,
            StringComparison.Ordinal);
        Assert.Equal(0, Run("list").Code);
        Assert.Contains("there is no store", Run("list", "--json").Error, StringComparison.Ordinal);
        Assert.Equal(ExitCode.BadInput, Run("withdraw", "1").Code);
        Assert.Equal(0, Run("add", "pick", "--planting", "white-peach", "--new", "--dry-run").Code);
        Assert.False(File.Exists(Store));

        Assert.Equal(0, Run("add", "pick", "--planting", "white-peach", "--new").Code);
        Assert.Equal(0, Run("add", "pick", "--planting", "gate-nectarine").Code);
    }

    [Fact]
    public void A_store_that_no_service_has_used_is_refused_like_none()
    {
        File.Delete(Store);
        BackyardSentinel.Storage.SentinelStore.Open(Store).Dispose();

        Assert.Contains(
            "No service has ever used the store",
            Run("add", "pick", "--planting", "white-peach").Error,
            StringComparison.Ordinal);
        Assert.Equal(0, Run("add", "pick", "--planting", "white-peach", "--new").Code);
    }

    private (int Code, string Output, string Error) Run(params string[] words)
    {
        using StringWriter output = new(), error = new();
        var sub = words[0] == "add" ? 2 : 1;
        string[] arguments = ["journal", .. words[..sub], .. words[sub..], "--garden", Garden];
        var root = new RootCommand { JournalCommand.Create(_time) };
        var code = root.Parse(arguments)
            .Invoke(
                new InvocationConfiguration
                {
                    Output = output,
                    Error = error,
                    EnableDefaultExceptionHandler = false,
                });
        return (code, output.ToString().ReplaceLineEndings("\n"), error.ToString());
    }
}
