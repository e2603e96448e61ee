using System.Text.RegularExpressions;
using BackyardSentinel.Configuration.Yaml;
using BackyardSentinel.Delivery;
using BackyardSentinel.Wording;

namespace BackyardSentinel.Tests.Configuration;

/// <summary>What is wrong with a garden file, as a German page tells it: of each broken garden, and nothing of it in English.</summary>
public sealed partial class GermanFaultsTests
{
    private static readonly PageWords German = AlertWords.BuiltIn("de").Page(TimeZoneInfo.Utc);

    public static TheoryData<string> Broken =>
    [
        .. Directory.EnumerateFiles(GardenFixtures.Scenario("bad", ""), "*.yaml")
            .Select(file => Path.GetFileNameWithoutExtension(file)!)
            .Order(),
    ];

    [Theory]
    [MemberData(nameof(Broken))]
    public void Nothing_of_a_fault_is_in_English(string name)
    {
        var says = Says(GardenFileReader.Read(GardenFixtures.Scenario("bad", name + ".yaml")).Problems).ToList();

        Assert.NotEmpty(says);
        Assert.All(says.SelectMany(German.Pieces), piece => Assert.Null(piece.Language));
        // Keys, and what stands in the file, are the same in every language.
        Assert.All(says.Select(German.Say), told => Assert.DoesNotMatch(EnglishWords(), Quoted().Replace(told, "''")));
    }

    [Fact]
    public void The_commonest_faults_read_so_in_German() => Assert.Equal(
        [
            "'latitud' ist bei einem Standort kein Schlüssel",
            "hier fehlt der Schlüssel topic, der bei einer Messreihe stehen muss",
            "ein MQTT-Topic ohne '+' und '#', nicht mit '$' am Anfang",
            "'scale' ist eine Zahl; '0,1' lässt sich nicht so lesen; Dezimalstellen stehen nach einem Punkt",
            "eine andere Zahl als 0",
            "temperature lässt sich nicht in '%' angeben",
            "eine Einheit für temperature: °C, °F, K, C, F",
            "Pflanzung: die id p ist in Zeile 12 schon vergeben; in Meldungen wären die beiden nicht zu unterscheiden",
            "eine eigene id",
            "kind kann nicht 'peech' sein",
            "peach, nectarine, almond oder apricot",
            "dry_gap ist eine Dauer; '4' lässt sich nicht so lesen: Die Einheit fehlt",
            "eine Dauer von 0m bis 48h, geschrieben wie 30s, 10m, 2h oder 1h30m",
        ],
        Says(GardenFileReader.ReadText("g.yaml", """
            sites:
              - id: yard
                latitud: 46.1
                series:
                  - quantity: temperature
                    scale: 0,1
                  - quantity: temperature
                    unit: "%"
                    topic: a/t
                  - { quantity: humidity, topic: a/h }
                plantings:
                  - { id: p, kind: peach }
                  - { id: p, kind: peech }
                dry_gap: 4
            """).Problems).Select(German.Say));

    private static IEnumerable<Sentence> Says(IEnumerable<Problem> problems) =>
        problems.Where(problem => !problem.IsNote)
            .SelectMany(problem => new[] { problem.Message, problem.Expected })
            .OfType<Sentence>();

    [GeneratedRegex("'[^']*'")]
    private static partial Regex Quoted();

    /// <summary>Words without which hardly an English sentence is written; German has none of them, and no key is called so.</summary>
    [GeneratedRegex(@"\b(the|and|are|with|not|has|have|when|which|of|is|for|it|its|no|by|be|or|such|as)\b")]
    private static partial Regex EnglishWords();
}
