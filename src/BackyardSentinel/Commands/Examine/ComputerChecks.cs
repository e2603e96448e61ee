using System.Diagnostics;
using System.Reflection;
using BackyardSentinel.Garden;
using BackyardSentinel.Hosting;
using BackyardSentinel.Live;
using BackyardSentinel.Wording;

namespace BackyardSentinel.Commands.Examine;

/// <summary>Checks of the garden file and of the computer.</summary>
internal static class ComputerChecks
{
    /// <summary>The service takes up to 60 MiB with a small garden, so half of this is room (measured; docs/performance.md).</summary>
    private const long LowMemoryMb = 128;

    /// <summary>Commits more often than this wear a card (assumed).</summary>
    private static readonly TimeSpan OftenCommitted = TimeSpan.FromSeconds(10);

    public static Verdict GardenFile(Scene scene)
    {
        var file = new Name(scene.Path);
        return scene.Problems.Where(problem => !problem.IsNote).ToList() switch
        {
            [var only] => Unusable($"{file} cannot be used as it is now: {only.Message.Ended()}"),
            [var first, ..] and var all =>
                Unusable($"{file} cannot be used as it is now, with {all.Count} errors; the first: {first.Message.Ended()}"),
            [] => scene.Problems switch
            {
                [] => Verdict.Fine($"{file} is good."),
                [var only] => Noted($"{file} is good, with {1} note; the first: {only.Message.Ended()}"),
                [var first, ..] and var all => Noted($"{file} is good, with {all.Count} notes; the first: {first.Message.Ended()}"),
            },
        };

        static Verdict Unusable(Sentence says) => Verdict.Wrong(
            says,
            $"Mend it before the service is started again: until then it goes on by what stood there. Run check, which shows "
                + $"everything with its lines.");

        static Verdict Noted(Sentence says) => Verdict.Look(says, $"Run check, which shows them all with their lines.");
    }

    public static Verdict Zone(Scene scene)
    {
        List<Site> far =
            [
                .. scene.Garden.Sites.Where(
                    site => site.LongitudeDeg is { } east && Math.Abs((east / 15) - site.Zone.BaseUtcOffset.TotalHours) > 3.5),
            ];
        if (far.Count > 0)
            return Verdict.Look(
                $"The sun of {new Name(far[0].Id)} and its zone {new Name(far[0].Zone.Id)} are hours apart.",
                $"Look at zone and longitude; west of Greenwich a longitude is negative.");
        return scene.Garden.Sites.FirstOrDefault(site => site.Zone == TimeZoneInfo.Utc || site.Zone.Id is "UTC" or "Etc/UTC") is { } utc
            ? Verdict.Look(
                $"The days of {new Name(utc.Id)} are days in UTC.",
                $"Write zone, such as Europe/Ljubljana, unless your clock shows UTC.")
            : Verdict.Fine($"Local days are those of {Sentence.Names(scene.Garden.Sites.Select(site => site.Zone.Id).Distinct())}.");
    }

    public static Verdict Place(Scene scene) =>
        scene.Garden.Sites.FirstOrDefault(site => site.LatitudeDeg is null) is { } site
            ? Verdict.Look(
                $"Where {new Name(site.Id)} lies is not told, so its bud stages come from the journal only.",
                $"Write latitude and longitude, to two decimals.")
            : Verdict.Fine($"Every site has its place.");

    public static Verdict ClockIsSet(Scene scene)
    {
        if (!GardenClock.WasSet(scene.Now))
            return Verdict.Wrong(
                $"This computer's clock says {Day(scene.Now)}.", $"Set it: connect the network, or fit a clock module with a battery.");
        if (scene.Store.LastReceived is { } last && last > scene.Now.AddMinutes(10))
            return Verdict.Wrong(
                $"The store has readings received on {Day(last)}, after now: the clock was ahead then, or is behind now.",
                $"Set the clock; see whether it keeps time over a power cut.");
        return Verdict.Fine(
            $"This computer's clock says {Day(scene.Now)} {LocalTime.Of(scene.Now, TimeZoneInfo.Utc, TimeForm.Clock)} UTC, "
                + $"later than all that was received.");
    }

    public static Verdict ClockIsKept(Scene scene) =>
        (File.Exists("/run/systemd/timesync/synchronized") ? "yes" : Said("timedatectl", "show", "-p", "NTPSynchronized", "--value")) switch
        {
            "yes" => Verdict.Fine($"The clock is kept right over the network."),
            "no" => Verdict.Look($"The clock is not kept right over the network.", $"Switch it on: sudo timedatectl set-ntp true."),
            _ =>
                Verdict.Unknown(
                    $"Whether the clock is kept right over the network cannot be seen from here.",
                    $"See whether a time service such as systemd-timesyncd or chrony runs on this computer."),
        };

    public static Verdict Disk(Scene scene) => HouseCheck.FreeMb(FolderOf(scene.Garden.Store.Path)) switch
    {
        null => Verdict.Unknown($"How much room the disk has cannot be seen.", $"Look with df -h."),
        < 50 and { } free => Verdict.Wrong(
            $"The disk of the store has {free} MB left.",
            $"Make room, or let store.path name another disk."),
        < HouseCheck.LowMb and { } free =>
            Verdict.Look($"The disk of the store has {free} MB left.", $"Make room; below nothing, readings are lost."),
        { } free => Verdict.Fine($"The disk of the store has {free} MB left."),
    };

    public static Verdict Memory(Scene scene)
    {
        var most = GC.GetGCMemoryInfo().TotalAvailableMemoryBytes / (1024 * 1024);
        return most < LowMemoryMb
            ? Verdict.Look(
                $"A program here may use {most} MB of memory.",
                $"Allow {LowMemoryMb} MB or more, such as by MemoryMax in the unit or --memory for a container.")
            : Verdict.Fine($"A program here may use {most} MB of memory.");
    }

    public static Verdict CardWrites(Scene scene) =>
        scene.Garden.Store.CommitWindow < OftenCommitted
            ? Verdict.Look(
                $"Readings are written every {scene.Garden.Store.CommitWindow.TotalSeconds} s, which wears a memory card.",
                $"Leave out store.commit_window; 30 s lose nothing, since a message is acknowledged only once it is written.")
            : Verdict.Fine(
                $"Readings are written together every {scene.Garden.Store.CommitWindow.TotalSeconds} s, which spares a memory card.");

    public static Verdict Version(Scene scene) =>
        typeof(ComputerChecks).Assembly.GetCustomAttribute<AssemblyInformationalVersionAttribute>() is { InformationalVersion: var version }
            ? Verdict.Fine($"This is version {new Name(version)}.")
            : Verdict.Fine($"This is version unknown.");

    /// <summary>The folder of a file, or the nearest above it that is there: the service makes the rest.</summary>
    private static string FolderOf(string path)
    {
        var folder = Path.GetDirectoryName(Path.GetFullPath(path));
        while (folder is not null && !Directory.Exists(folder))
            folder = Path.GetDirectoryName(folder);
        return folder ?? path;
    }

    private static LocalTime Day(DateTimeOffset at) => LocalTime.Of(at, TimeZoneInfo.Utc, TimeForm.Written);

    /// <summary>What another program says, within three seconds; <c>null</c>: it is not there, or says nothing.</summary>
    private static string? Said(string program, params string[] words)
    {
        try
        {
            using var process = Process.Start(
                new ProcessStartInfo(program, words) { RedirectStandardOutput = true, RedirectStandardError = true });
            if (process is null)
                return null;
            if (process.WaitForExit(3000))
                return process.StandardOutput.ReadToEnd().Trim();
            process.Kill();
            return null;
        }
        catch (Exception failure) when (failure is System.ComponentModel.Win32Exception or InvalidOperationException or IOException)
        {
            return null;
        }
    }
}
