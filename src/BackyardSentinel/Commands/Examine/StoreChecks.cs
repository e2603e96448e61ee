using BackyardSentinel.Commands.Explain;
using BackyardSentinel.Live;
using BackyardSentinel.Wording;

namespace BackyardSentinel.Commands.Examine;

/// <summary>Checks of the store, and of the service that writes it.</summary>
internal static class StoreChecks
{
    /// <summary>A grower loses no more than a season's half of the journal (assumed).</summary>
    private static readonly TimeSpan BackupAge = TimeSpan.FromDays(120);

    private static readonly TimeSpan Quiet = TimeSpan.FromMinutes(30), Silent = TimeSpan.FromHours(3);

    private static Sentence DamageRemedy => $"Stop the service, and restore a backup, or start it again: it saves what can be read.";

    public static Verdict Opens(Scene scene) =>
        !scene.Store.IsThere
            ? Verdict.Look(
                $"There is no store {new Name(scene.Garden.Store.Path)} yet.",
                $"Start the service; if it runs, is this its garden file?")
            : scene.Store.Fault is { } fault
                ? Verdict.Wrong(
                    fault,
                    scene.Store.IsBroken
                        ? DamageRemedy
                        : $"See docs/store.md; call this command as the user that the service runs as, or with sudo.")
                : Verdict.Fine(
                    $"The store {new Name(scene.Garden.Store.Path)} can be read; it has {scene.Store.Bytes / 1048576.0:0.0} MB.");

    public static Verdict IsSound(Scene scene) =>
        NotRead(scene)
        ?? (scene.Store.Faults.Count > 0
            ? Verdict.Wrong(
                $"The store is damaged: {Sentence.Joined("; ", scene.Store.Faults.Take(3))}.",
                DamageRemedy)
            : scene.Store.WasDamaged
                ? Verdict.Look(
                    $"The store was saved from a damaged one.",
                    $"Look at the disk or card, and make a backup; see docs/store.md.")
                : Verdict.Fine($"The tables of the store are as they were written."));

    public static Verdict Service(Scene scene)
    {
        if (scene.Broker.State is { } state)
        {
            return state.Contains("\"watching\"", StringComparison.Ordinal)
                ? Verdict.Fine($"The service says at the broker that it is watching.")
                : scene.Store.IsHeld == true
                ? Verdict.Wrong(
                    $"A service runs with this store, and at the broker it is said to be stopped or lost.",
                    $"Its log says why it does not reach the broker: journalctl -u backyard-sentinel.")
                : Verdict.Wrong(
                    $"The service is not running: at the broker it is said to be stopped or lost.",
                    $"Start it, and look at its log: journalctl -u backyard-sentinel.");
        }

        return scene.Broker.IsIn
            ? scene.Store.IsHeld == true
                ? Verdict.Unknown(
                    $"A service runs with this store, and nothing of it can be read at the broker. "
                        + $"This user may not be allowed to read there.")
            : Verdict.Look(
                $"The service has left no word at the broker.", $"Start it: backyard-sentinel run, or systemctl start backyard-sentinel.")
            : Verdict.Unknown($"Whether the service runs is not known, since the broker cannot be asked.");
    }

    public static Verdict LastReading(Scene scene)
    {
        if (NotRead(scene) is { } not)
            return not;
        if (scene.Store.LastReceived is not { } last)
            return Verdict.Look($"Nothing was ever received.", $"Run listen to see what your sensors send, and compare topic and path.");
        var age = scene.Now - last;
        Sentence says = $"The last message was received {ExplainWords.Span(age)} ago.";
        return age > Silent ? Verdict.Wrong(says, $"See whether service, broker and sensors run; listen shows what comes.")
            : age > Quiet ? Verdict.Look(says, $"See whether the sensors still send; listen shows what comes.")
            : Verdict.Fine(says);
    }

    public static Verdict IsHeld(Scene scene)
    {
        if (NotRead(scene) is { } not)
            return not;
        var isToldOf = scene.Broker.State?.Contains("\"watching\"", StringComparison.Ordinal) == true;
        return scene.Store.IsHeld switch
        {
            true => Verdict.Fine($"A service on this computer has the store open."),
            false when isToldOf => Verdict.Look(
                $"A service says at the broker that it is watching, but none on this computer has this store open.",
                $"Is this the garden file, and the computer, that the service runs with?"),
            false => Verdict.Look(
                $"No service has the store open, so nothing is stored now.",
                $"Start it: backyard-sentinel run, or systemctl start backyard-sentinel."),
            null =>
                Verdict.Unknown(
                    $"Whether a service has the store open this user may not see.",
                    $"Call this command as the user that the service runs as, or with sudo."),
        };
    }

    public static Verdict Ages(Scene scene)
    {
        if (NotRead(scene) is { } not)
            return not;
        var years = scene.Garden.Store.KeepYears;
        var zone = scene.Garden.Sites[0].Zone;
        return scene.Store.HourlyUntil is { } until
            ? Verdict.Fine($"Readings are kept for {years} years; of the time before {Day(until)} there are hourly values.")
            : scene.Store.First is { } first
                ? Verdict.Fine($"Readings are kept for {years} years; the first is of {Day(first)}, so none has grown old.")
                : Verdict.Fine($"Readings are kept for {years} years; there is none yet.");

        LocalTime Day(DateTimeOffset at) => LocalTime.Of(at, zone, TimeForm.Written);
    }

    public static Verdict Series(Scene scene)
    {
        if (NotRead(scene) is { } not)
            return not;
        var strangers = SeriesMaps.Strangers(scene.Store.Series, scene.Garden.Series);
        return strangers.Count == 0
            ? Verdict.Fine($"The garden file has all series of which the store has readings.")
            : Verdict.Look(
                $"The store has readings of {Sentence.Names(strangers.Take(3))}, which the garden file does not have: they do not count.",
                $"Where only its topic or path was changed, put the old entry back behind the new one; see docs/store.md.");
    }

    public static Verdict Backup(Scene scene)
    {
        Sentence remedy = $"Copy it, also while the service runs: backyard-sentinel backup FILE, onto another disk.";
        if (NotRead(scene) is { } not)
            return not;
        if (scene.Store.LastBackup is { } last)
            return scene.Now - last > BackupAge
                ? Verdict.Look($"The store was last copied away {ExplainWords.Span(scene.Now - last)} ago.", remedy)
                : Verdict.Fine(
                    $"The store was last copied away {ExplainWords.Span(scene.Now - last)} ago; "
                        + $"whether that copy is still there is not to be seen from here.");
        return scene.Store.First is { } first && scene.Now - first > BackupAge
            ? Verdict.Look($"The store knows of no copy of itself.", remedy)
            : Verdict.Fine($"The store knows of no copy of itself yet; once a season is enough.");
    }

    /// <summary>What to say where there is no store that can be read.</summary>
    internal static Verdict? NotRead(Scene scene) =>
        scene.Store.IsThere && scene.Store.Fault is null ? null : Verdict.Unknown($"Without a store that can be read this is not known.");
}
