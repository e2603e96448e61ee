using System.Net;
using System.Net.Sockets;
using BackyardSentinel.Commands.Explain;
using BackyardSentinel.Configuration;
using BackyardSentinel.Delivery;
using BackyardSentinel.Guards;
using BackyardSentinel.Hosting;
using BackyardSentinel.Storage;
using BackyardSentinel.Wording;

namespace BackyardSentinel.Commands.Examine;

/// <summary>Checks of the way to the phone, and of secrets. Nothing is sent.</summary>
internal static class AlertChecks
{
    private static readonly TimeSpan Lately = TimeSpan.FromDays(7), Patience = TimeSpan.FromSeconds(5);

    public static Verdict HasReceiver(Scene scene) =>
        scene.Garden.Alerts.Receivers.Any(receiver => receiver.Kind != ReceiverKind.DryRun)
            ? Verdict.Fine($"Alerts go to {Sentence.Names(scene.Garden.Alerts.Receivers.Select(receiver => receiver.Id))}.")
            : Verdict.Look(
                $"The garden file names no destination, so alerts reach nobody.", $"Name one under alerts: send_to; see docs/alerts.md.");

    public static Verdict Addresses(Scene scene)
    {
        var alerts = scene.Garden.Alerts;
        var any = false;
        foreach (var receiver in alerts.Receivers.Where(one => one is { Kind: ReceiverKind.Webhook, Url: not null }))
        {
            any = true;
            if (FaultOf(receiver.Url!, $"{new Name(receiver.Id)}", receiver.AllowPrivate) is { } fault)
                return fault;
        }

        if (alerts.Heartbeat is not { } heartbeat)
            return any
                ? Verdict.Fine($"The addresses of all webhooks can be looked up, and may be asked. alert test tries the whole way.")
                : Verdict.Fine($"There is no webhook whose address could be wrong.");
        return FaultOf(heartbeat, $"the heartbeat", allowPrivate: null)
            ?? (any
                ? Verdict.Fine(
                    $"The addresses of all webhooks and of the heartbeat can be looked up, and may be asked. "
                        + $"alert test tries the way of alerts.")
                : Verdict.Fine($"The address of the heartbeat can be looked up, and may be asked; whether it arrives, the log tells."));
    }

    /// <summary>What is wrong with an address; it may hold a key, so its host is all that is told.</summary>
    /// <param name="kept">The address.</param>
    /// <param name="whose">Whose it is.</param>
    /// <param name="allowPrivate">It may lie in the own network; <c>null</c>: that is of no use.</param>
    private static Verdict? FaultOf(KeptValue kept, Sentence whose, bool? allowPrivate)
    {
        if (!kept.TryResolve(out var url, out var reason))
            return Verdict.Wrong($"The address of {whose} cannot be had: {reason!}.", $"Look at it in the garden file, under alerts.");
        if (!Uri.TryCreate(url, UriKind.Absolute, out var address))
            return Verdict.Wrong($"The address of {whose} is none.", $"It begins with https:// or http://.");
        if (AddressesOf(address.Host) is not { Length: > 0 } found)
            return Verdict.Wrong(
                $"The name {new Name(address.Host)} of {whose} cannot be looked up.",
                $"Is it spelt right, and is this computer on the network?");
        if (allowPrivate == true || Array.Exists(found, PublicAddress.IsPublic))
            return null;
        return allowPrivate is null
            ? Verdict.Wrong(
                $"The address of {whose}, {new Name(address.Host)}, is in your own network, which is not asked.",
                $"Give one elsewhere: a watcher in the same house fails together with this computer.")
            : Verdict.Wrong(
                $"{whose} leads to {new Name(address.Host)} in your own network, which is not asked.",
                $"Set allow_private: true if it is meant so.");
    }

    public static Verdict Delivered(Scene scene)
    {
        if (scene.Garden.Alerts.Receivers.Count == 0)
            return Verdict.Unknown($"Without a destination nothing is delivered.");
        if (StoreChecks.NotRead(scene) is { } not)
            return not;
        foreach (var receiver in scene.Garden.Alerts.Receivers)
        {
            var last = scene.Store.Outbox
                .Where(row => row.Receiver == receiver.Id && row.State is not (OutboxState.Waiting or OutboxState.Superseded))
                .MaxBy(row => row.CreatedMs);
            if (last is { State: not OutboxState.Delivered })
                return Verdict.Wrong(
                    $"The last message to {new Name(receiver.Id)} did not get through: {Plain(last.LastAnswer)}",
                    $"Look at this destination in the garden file, and try the whole way: backyard-sentinel alert test.");
        }

        var delivered = scene.Store.Outbox.Where(row => row.State == OutboxState.Delivered)
            .Select(row => row.NextMs)
            .DefaultIfEmpty()
            .Max();
        return delivered == 0
            ? Verdict.Look($"No message has ever been delivered.", $"Try the whole way: backyard-sentinel alert test.")
            : Verdict.Fine(
                $"The last message was delivered {ExplainWords.Span(scene.Now - DateTimeOffset.FromUnixTimeMilliseconds(delivered))} ago.");
    }

    public static Verdict NoneWaits(Scene scene)
    {
        if (StoreChecks.NotRead(scene) is { } not)
            return not;
        var now = scene.Now.ToUnixTimeMilliseconds();
        var waiting = scene.Store.Outbox.Where(row => row.State == OutboxState.Waiting && row.Attempts > 0).ToList();
        if (waiting.Find(row => now - row.CreatedMs > AlertPathHealth.Patience.TotalMilliseconds) is { } old)
            return Verdict.Wrong(
                $"A message to {new Name(old.Receiver)} has waited for more than a day: {Plain(old.LastAnswer)}",
                $"Try the way: backyard-sentinel alert test.");
        var lost = scene.Store.Outbox.Count(row =>
            row.State is OutboxState.Expired or OutboxState.Rejected or OutboxState.ExpiredReported or OutboxState.RejectedReported
            && now - row.CreatedMs < Lately.TotalMilliseconds);
        if (lost > 0)
            return Verdict.Look(
                lost == 1
                    ? (Sentence)$"{1} message of the last seven days did not get through."
                    : $"{lost} messages of the last seven days did not get through.",
                $"See alert list --all, and try the way: backyard-sentinel alert test.");
        return waiting.Count > 0
            ? Verdict.Look(
                waiting.Count == 1
                    ? (Sentence)$"{1} message could not be delivered yet: {Plain(waiting[0].LastAnswer)}"
                    : $"{waiting.Count} messages could not be delivered yet: {Plain(waiting[0].LastAnswer)}",
                $"It is tried again; alert test tries the way now.")
            : Verdict.Fine($"No message waits.");
    }

    public static Verdict Words(Scene scene) =>
        AlertWiring.FaultOfWords(scene.Garden, out var gaps) is { } fault
            ? Verdict.Wrong(Sentence.InEnglish(fault), $"Mend the file, or leave out alerts.words.")
        : gaps is { IsOfChangesOnly: false, Says: [var says, ..] }
            ? Verdict.Look(
                $"{says}.",
                gaps.Missing.Count > 0
                    ? (Sentence)$"Add the lines that check prints at the end of the file."
                    : $"Mend the file, or leave out alerts.words.")
        : scene.Garden.Alerts.WordsPath is { } path ? Verdict.Fine($"The words of {new Name(path)} fit all messages.")
        : Verdict.Fine($"Messages have the program's own words.");

    public static Verdict SecretsCanBeHad(Scene scene)
    {
        foreach (var (what, secret) in Secrets(scene.Garden))
        {
            if (!secret.TryResolve(out _, out var reason))
                return Verdict.Wrong(
                    $"{what} cannot be had: {reason!}.", $"Put it there, and let the user that the service runs as read it.");
        }

        return Verdict.Fine($"All passwords and keys that the garden file names can be had.");
    }

    public static Verdict SecretsAreKept(Scene scene)
    {
        foreach (var (what, secret) in Secrets(scene.Garden).Where(one => one.Secret.FromFile))
        {
            if (OperatingSystem.IsWindows() || !File.Exists(secret.Name))
                continue;
            if ((File.GetUnixFileMode(secret.Name) & (UnixFileMode.OtherRead | UnixFileMode.OtherWrite | UnixFileMode.GroupWrite)) != 0)
                return Verdict.Look(
                    $"{what} lies in {new Name(secret.Name)}, which every user of this computer may read or others may write.",
                    $"Keep it: chmod 640 {new Name(secret.Name)}, with the service's group as its group.");
        }

        return Verdict.Fine($"No file with a password or key is open to every user.");
    }

    private static IEnumerable<(Sentence What, SecretReference Secret)> Secrets(GardenFile garden)
    {
        if (garden.Broker.Password?.Reference is { } password)
            yield return ($"The broker's password", password);
        if (garden.Broker.KeyFile is { } own)
            yield return ($"The key of our own certificate", new SecretReference(true, own));
        foreach (var receiver in garden.Alerts.Receivers)
        {
            if (receiver.Url?.Reference is { } url)
                yield return ($"The address of {new Name(receiver.Id)}", url);
            if (receiver.Secret?.Reference is { } key)
                yield return ($"The signing key of {new Name(receiver.Id)}", key);
            foreach (var header in receiver.Headers)
            {
                if (header.Value.Reference is { } kept)
                    yield return ($"The header {new Name(header.Name)} of {new Name(receiver.Id)}", kept);
            }
        }

        if (garden.Alerts.Heartbeat?.Reference is { } heartbeat)
            yield return ($"The address of the heartbeat", heartbeat);
        if (garden.Forecast?.Url?.Reference is { } source)
            yield return ($"The address of the forecast", source);
        foreach (var header in garden.Forecast?.Headers ?? [])
        {
            if (header.Value.Reference is { } kept)
                yield return ($"The header {new Name(header.Name)} of the forecast", kept);
        }
    }

    private static IPAddress[]? AddressesOf(string host)
    {
        try
        {
            var lookup = Dns.GetHostAddressesAsync(host);
            return lookup.Wait(Patience) ? lookup.Result : null;
        }
        catch (AggregateException failure) when (failure.InnerException is SocketException)
        {
            return null;
        }
    }

    private static Sentence Plain(string? text) => text is null ? $"no answer." : Sentence.InEnglish(TerminalText.Plain(text));
}
