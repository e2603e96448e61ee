using BackyardSentinel.Commands.Check;
using BackyardSentinel.Configuration;
using BackyardSentinel.Configuration.Yaml;
using BackyardSentinel.Delivery;
using BackyardSentinel.Hosting;
using BackyardSentinel.Web.SetUp;
using BackyardSentinel.Wording;

namespace BackyardSentinel.Commands.Examine;

/// <summary>The look over an installation: for the command <c>examine</c>, and for the page.</summary>
public static class Examination
{
    /// <summary>The page waits for it, so it listens to the broker for a moment only.</summary>
    private static readonly TimeSpan Moment = TimeSpan.FromSeconds(2);

    /// <summary>The checks, in the order in which things build on each other.</summary>
    private static readonly (Sentence Name, Func<Scene, Verdict> Look)[] Checks =
    [
        ($"garden file", ComputerChecks.GardenFile),
        ($"time zone", ComputerChecks.Zone),
        ($"place", ComputerChecks.Place),
        ($"clock", ComputerChecks.ClockIsSet),
        ($"clock sync", ComputerChecks.ClockIsKept),
        ($"disk", ComputerChecks.Disk),
        ($"memory", ComputerChecks.Memory),
        ($"card writes", ComputerChecks.CardWrites),
        ($"version", ComputerChecks.Version),
        ($"store", StoreChecks.Opens),
        ($"store soundness", StoreChecks.IsSound),
        ($"store lock", StoreChecks.IsHeld),
        ($"backup", StoreChecks.Backup),
        ($"old readings", StoreChecks.Ages),
        ($"old series", StoreChecks.Series),
        ($"broker name", BrokerChecks.Name),
        ($"broker port", BrokerChecks.Port),
        ($"broker login", BrokerChecks.Login),
        ($"encryption", BrokerChecks.Encryption),
        ($"broker keeps", BrokerChecks.Keeps),
        ($"broker dropped", BrokerChecks.Dropped),
        ($"client id", BrokerChecks.ClientId),
        ($"topics read", BrokerChecks.MayRead),
        ($"topics written", BrokerChecks.MayWrite),
        ($"service", StoreChecks.Service),
        ($"last message", StoreChecks.LastReading),
        ($"page", PageChecks.IsServed),
        ($"sensors speak", SensorChecks.AllSpeak),
        ($"acknowledged", BrokerChecks.Acknowledged),
        ($"kept copies", BrokerChecks.KeptOnly),
        ($"refused", SensorChecks.NoneRefused),
        ($"units", SensorChecks.UnitsCanBe),
        ($"stuck", SensorChecks.NoneStuck),
        ($"pauses", SensorChecks.SpeakOftenEnough),
        ($"rain gauge", SensorChecks.HasRainGauge),
        ($"destinations", AlertChecks.HasReceiver),
        ($"addresses", AlertChecks.Addresses),
        ($"delivery", AlertChecks.Delivered),
        ($"outbox", AlertChecks.NoneWaits),
        ($"words", AlertChecks.Words),
        ($"secrets", AlertChecks.SecretsCanBeHad),
        ($"secret files", AlertChecks.SecretsAreKept),
        ($"copy in InfluxDB", InfluxChecks.Takes),
        ($"forecast", SeasonChecks.HasForecast),
        ($"journal", SeasonChecks.JournalIsSound),
        ($"bud stages", SeasonChecks.StagesAreKnown),
        ($"needs", SeasonChecks.NeedsAreTheVarietys),
        ($"labels", SeasonChecks.LabelsAreWhole),
    ];

    /// <summary>Looks, and listens to the broker.</summary>
    /// <param name="path">The garden file's path.</param>
    /// <param name="garden">The garden.</param>
    /// <param name="problems">What was found when the file was read.</param>
    /// <param name="length">How long is listened.</param>
    /// <param name="time">The clock.</param>
    /// <param name="ct">Gives up.</param>
    public static async Task<(DateTimeOffset At, IReadOnlyList<FoundThing> Found)> OfAsync(
        string path, GardenFile garden, IReadOnlyList<Problem> problems, TimeSpan length, TimeProvider time, CancellationToken ct)
    {
        var broker = await BrokerLook.AtAsync(garden, length, ct).ConfigureAwait(false);
        var now = time.GetUtcNow();
        var scene = new Scene(path, garden, problems, StoreLook.At(garden, now), broker, now);
        return (
            now,
            [
                .. Checks.Select(check => (check.Name, Verdict: check.Look(scene)))
                    .Select(one => new FoundThing(one.Name, one.Verdict.Result, one.Verdict.Says, one.Verdict.Remedy)),
            ]);
    }

    /// <summary>Looks for the page: the garden file as it lies there now, and the installation of the garden that runs.</summary>
    /// <param name="path">The garden file's path.</param>
    /// <param name="garden">The garden that runs.</param>
    /// <param name="time">The clock.</param>
    /// <param name="ct">Gives up.</param>
    public static async Task<SetUpLook> ForPageAsync(string path, GardenFile garden, TimeProvider time, CancellationToken ct)
    {
        var (file, problems) = GardenFileReader.Read(path);
        WordsGaps? gaps = null;
        var faultOfWords = file is null ? null : AlertWiring.FaultOfWords(file, out gaps);
        var (at, found) = await OfAsync(path, garden, problems, Moment, time, ct).ConfigureAwait(false);
        return new SetUpLook(
            at,
            path,
            faultOfWords is null ? file : null,
            [
                .. problems.Where(problem => !problem.IsNote).Select(Line),
                .. faultOfWords is null ? [] : new[] { Sentence.InEnglish(faultOfWords) },
            ],
            [
                .. problems.Where(problem => problem.IsNote).Select(Line),
                .. (file ?? garden).Sites.SelectMany(CheckCommand.Needs),
                .. gaps?.Says ?? [],
            ],
            gaps is { ToAdd: { Length: > 0 } lines } ? new LinesToAdd(gaps.File, lines) : null,
            found)
        {
            HasChanged = file is not null && file.Fingerprint != garden.Fingerprint,
        };
    }

    private static Sentence Line(Problem problem)
    {
        var says = problem.Message;
        if (problem.Expected is { } expected)
            says = $"{says}; expected {expected}";
        if (problem.Suggestion is { } near)
            says = $"{says}; did you mean {new Name(near)}?";
        return problem.Line > 0 ? $"Line {problem.Line}: {says}" : says;
    }
}
