using System.Text.RegularExpressions;
using BackyardSentinel.Alerting;
using BackyardSentinel.Delivery;
using BackyardSentinel.Infection;
using BackyardSentinel.Wording;

namespace BackyardSentinel.Tests.Delivery;

/// <summary>
/// The built-in words in each language: alike in what they fill in, within the limits, asked for by the program and not more.
/// </summary>
public partial class BuiltInLanguagesTests
{
    private static readonly AlertWords German = AlertWords.BuiltIn("de");
    private static readonly TimeZoneInfo Zone = TimeZoneInfo.FindSystemTimeZoneById("Europe/Ljubljana");
    private static readonly string Longest = new('w', 40);

    /// <summary>Beginnings of keys that the code of those screens leaves out.</summary>
    private static readonly string[] Beginnings = ["", "journal.", "spraying."];

    public static TheoryData<string> Kinds => [.. ExampleAlerts.OfEveryKind().Select(alert => alert.Kind)];

    [Fact]
    public void Both_languages_have_the_same_words_and_parts()
    {
        Assert.Equal(WordsText.English.Words.Keys, WordsText.German.Words.Keys);
        Assert.Equal(WordsText.English.Templates.Keys, WordsText.German.Templates.Keys);
        Assert.Equal(WordsText.English.Sentences.Keys, WordsText.German.Sentences.Keys);
    }

    [Fact]
    public void Each_sentence_of_the_core_is_told_in_German_and_leaves_nothing_out()
    {
        // What both languages call alike.
        string[] alike = ["captan", "not_on: [apricot]", "token", "version", "wind {0}"];

        Assert.InRange(WordsText.German.Sentences.Count, 1000, 3000);
        Assert.Empty(WordsText.German.Sentences
            .Where(one => string.Equals(one.Key, one.Value, StringComparison.OrdinalIgnoreCase) && !alike.Contains(one.Key))
            .Select(one => one.Key));
        Assert.Empty(WordsText.German.Sentences
            .Where(one => !WordsText.Braces(one.Key).Distinct().SequenceEqual(WordsText.Braces(one.Value).Distinct()))
            .Select(one => one.Key));
    }

    [Fact]
    public void A_plan_reads_so_in_German()
    {
        var words = German.Page(Zone);
        Sentence then = $"spray {new Name("Kupfer 50")} on "
            + $"{LocalTime.Of(new DateTimeOffset(2027, 3, 4, 9, 0, 0, TimeSpan.Zero), Zone, TimeForm.Moment)}";
        Sentence look = $"look at the buds of {new Name("Pfirsich")} first; if they are still closed, {then}";

        Assert.Equal("Look at the buds of Pfirsich first; if they are still closed, spray Kupfer 50 on Thu 4 Mar "
            + "10:00.", look.AsWhole().Text);
        Assert.Equal(
            "Zuerst die Knospen ansehen (Pfirsich); wenn sie noch geschlossen sind: Kupfer 50 spritzen, Do, 4. März, 10:00.",
            words.Say(look.AsWhole()));
    }

    // The German decimal comma, „{month}“ with a point and the like are words; what stands in braces is the program's.
    [Fact]
    public void Each_word_fills_in_the_same_in_both_languages() => Assert.Empty(
        WordsText.English.Words
            .Where(word => !WordsText.Braces(word.Value).SequenceEqual(WordsText.Braces(WordsText.German.Words[word.Key])))
            .Select(word => word.Key));

    [Theory]
    [MemberData(nameof(Kinds))]
    [InlineData("test")]
    public void Each_kind_of_alert_tells_the_same_facts_in_both_languages(string kind) =>
        Assert.Equal(WordsText.English.FactsOf(kind), WordsText.German.FactsOf(kind));

    [Fact]
    public void A_language_of_ones_own_may_be_written_as_the_built_in_ones_are() =>
        Assert.NotNull(AlertWords.Read(WordsText.German.Text, "words.de.liquid").Page(Zone));

    [Theory]
    [MemberData(nameof(Kinds))]
    public void German_alerts_keep_their_limits_even_with_the_longest_names(string kind)
    {
        var text = German.Say(ExampleAlerts.OfEveryKind(Longest, Longest, Longest, Longest).Single(alert => alert.Kind == kind), _ => Zone);

        AlertWordsTests.KeepsItsLimits(text, kind);
    }

    [Theory]
    [MemberData(nameof(Kinds))]
    public void German_titles_of_usual_names_are_whole(string kind) => Assert.DoesNotContain(
        "…",
        German.Say(ExampleAlerts.OfEveryKind("Südwand", "Pfirsich", "air", "Kupfer").Single(alert => alert.Kind == kind), _ => Zone).Title,
        StringComparison.Ordinal);

    [Fact]
    public void Every_branch_of_a_level_in_German_is_whole_within_the_limits()
    {
        var at = new DateTimeOffset(2027, 3, 4, 9, 10, 0, TimeSpan.Zero);
        foreach (var risen in RisenLevels.OfEveryBranch(Longest, at))
        {
            var text = German.Say(Alert.Of(risen, at), _ => Zone);
            Assert.InRange(text.Title.Length, 5, 50);
            Assert.InRange(text.Body.Length, 40, 500);
            Assert.Equal(4, text.Body.Split('\n').Length);
            Assert.DoesNotContain("false", text.Body, StringComparison.Ordinal);
            Assert.Contains(risen.StageSure ? "wwww" : "Offen? Kräuselwetter", text.Title, StringComparison.Ordinal);
        }
    }

    [Theory]
    [MemberData(nameof(AlertWordsTests.SprayKinds), MemberType = typeof(AlertWordsTests))]
    public void Where_spraying_is_meant_the_German_words_defer_to_label_and_local_rules(string kind)
    {
        var body = German.Say(ExampleAlerts.OfEveryKind().Single(alert => alert.Kind == kind), _ => Zone).Body;

        Assert.Contains("Etikett ist Gesetz", body, StringComparison.Ordinal);
        Assert.Contains("örtliche Regeln gehen vor", body, StringComparison.Ordinal);
    }

    [Fact]
    public void What_is_unknown_is_never_said_in_the_words_of_an_all_clear()
    {
        var clear = WordsText.German.Words["words:level.clear"];

        var levels = WordsText.German.Words.Where(word => word.Key.StartsWith("words:level.", StringComparison.Ordinal));

        Assert.DoesNotContain(WordsText.German.Words, word =>
            word.Key.Contains("unknown", StringComparison.Ordinal)
            && Regex.IsMatch(word.Value, $@"\b{clear}\b", RegexOptions.IgnoreCase));
        Assert.Equal(6, levels.Select(word => word.Value).Distinct().Count());
    }

    [Fact]
    public void A_likely_window_reads_so_in_German()
    {
        var text = German.Say(ExampleAlerts.OfEveryKind("Südwand", "Pfirsich")[0], _ => Zone);

        Assert.Equal("Kräuselwetter wahrscheinlich: Pfirsich, Südwand", text.Title);
        Assert.Equal(
            """
            Pfirsich (Südwand): Infektionswetter wahrscheinlich seit Do 4. Mär 10:10, vorher möglich.
            24,8 Nässestunden, 13,6 mm Regen, im Mittel 9,3 °C (Regel Nässestunden).
            Der Spritzbelag war zum Nachsehen fällig: Regen hat ihn angegriffen. Jetzt zu spritzen macht nichts ungeschehen. Kräuselkrankheit kann sich ab Sa 13. Mär zeigen.
            Unsicher: Wetterdaten fehlen oder sind zweifelhaft. Andere Regeln: Regentag frei, zwei Tage wahrscheinlich. Die Kurve der Stufe ist angenommen.
            """,
            text.Body);
    }

    [Fact]
    public void A_rule_of_the_growers_own_keeps_its_name_in_German()
    {
        var risen = (LevelRisen)ExampleAlerts.OfEveryKind()[0].Occasions[0] with
        {
            Opinions = new Dictionary<string, Level>
            {
                ["my-two-day"] = Level.Likely,
                ["rain-day"] = Level.Clear,
                ["wet-hours"] = Level.Likely,
                ["wet-hours-wall"] = Level.Possible,
            },
        };

        Assert.Contains(
            "Andere Regeln: my-two-day wahrscheinlich, Regentag frei, wet-hours-wall möglich.",
            German.Say(ExampleAlerts.OfEveryKind()[0] with { Occasions = [risen] }, _ => Zone).Body,
            StringComparison.Ordinal);
    }

    [Fact]
    public void Every_word_the_program_asks_for_is_there_and_every_word_there_is_asked_for()
    {
        var code = string.Join(
            '\n',
            Directory.EnumerateFiles(Checkout.Path("src", "BackyardSentinel"), "*.cs*", SearchOption.AllDirectories)
                .Where(file => file.EndsWith(".cs", StringComparison.Ordinal) || file.EndsWith(".cshtml", StringComparison.Ordinal))
                .Select(File.ReadAllText));
        List<string> keys = [.. WordsText.English.Words.Keys.Select(key => key[(key.IndexOf(':', StringComparison.Ordinal) + 1)..])];
        List<string> asked = [.. Asked().Matches(code).Select(one => one.Groups[1].Value).Distinct()];

        Assert.InRange(asked.Count, 200, 2000);
        Assert.DoesNotContain(asked, key => !IsThere(key, keys));
        Assert.DoesNotContain(keys, key => !IsAsked(key, code, asked));
    }

    /// <summary>A key as it stands, one of a number's two, or the beginning of some.</summary>
    private static bool IsThere(string asked, List<string> keys) => Beginnings.Select(beginning => beginning + asked).Any(key =>
        keys.Contains(key)
        || keys.Contains(key + ".one")
        || (key.EndsWith('.') && keys.Exists(one => one.StartsWith(key, StringComparison.Ordinal))));

    private static bool IsAsked(string key, string code, List<string> asked)
    {
        // A beginning in a question, such as Say("cover." + …); an ending, such as key + ".many"; or both: $"stage.{name}.looks".
        var begun = asked.Where(one => one.EndsWith('.') && !Beginnings.Contains(one)).ToList();
        return Beginnings
            .Where(beginning => key.StartsWith(beginning, StringComparison.Ordinal))
            .Select(beginning => key[beginning.Length..])
            .Any(name => IsNamed(name) || EndsAlone(name) || IsFramed(name));

        bool IsNamed(string name) =>
            code.Contains($"\"{name}\"", StringComparison.Ordinal) || begun.Exists(one => name.StartsWith(one, StringComparison.Ordinal));

        bool EndsAlone(string name) =>
            name.LastIndexOf('.') is > 0 and var dot
            && code.Contains($"\"{name[dot..]}\"", StringComparison.Ordinal)
            && IsNamed(name[..dot]);

        bool IsFramed(string name) => Framed().Matches(code).Any(frame =>
            name.StartsWith(frame.Groups[1].Value, StringComparison.Ordinal)
                && name.EndsWith(frame.Groups[2].Value, StringComparison.Ordinal));
    }

    [GeneratedRegex(@"\b(?:[wW]ords|scene|_file)\.(?:Say|Count|Word)\(\s*""([a-z][\w.-]*)""")]
    private static partial Regex Asked();

    [GeneratedRegex(@"\$""([a-z-]+\.)\{\w+\}(\.[a-z]+)""")]
    private static partial Regex Framed();
}
