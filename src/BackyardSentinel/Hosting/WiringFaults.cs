using BackyardSentinel.Configuration;
using BackyardSentinel.Delivery;
using BackyardSentinel.Guards;
using BackyardSentinel.Mqtt;

namespace BackyardSentinel.Hosting;

/// <summary>
/// What is wrong with what a garden file points to: templates, addresses, keys. What cannot be had here is left out, since another
/// user may run the service, and the file may be written on another computer.
/// </summary>
internal static class WiringFaults
{
    private const int LargestFile = 1024 * 1024;

    /// <summary>The first fault, a sentence without any secret; <c>null</c>: there is none.</summary>
    /// <param name="garden">The garden.</param>
    public static string? Of(GardenFile garden)
    {
        try
        {
            foreach (var receiver in garden.Alerts.Receivers.Where(one => one.Kind == ReceiverKind.Webhook))
            {
                if (Of(receiver) is { } fault)
                    return fault;
            }

            TryAddress(garden.Alerts.Heartbeat, "The heartbeat");
            TryAddress(garden.Forecast?.Url, "The url of the forecast");
            TryAddress(garden.Influx?.Url, "The url of InfluxDB");
            if (garden.Broker.CaFile is { } authority && CanBeHad(authority))
                CaFile.Authorities(authority);
            if (garden.Broker is { CertificateFile: { } shown, KeyFile: { } key } && CanBeHad(shown) && CanBeHad(key))
                OwnCertificate.Of(garden.Broker)?.Dispose();
            return null;
        }
        catch (LinkException problem)
        {
            return problem.Message;
        }
        catch (WiringProblemException problem)
        {
            return problem.Message;
        }
    }

    private static string? Of(ReceiverSettings receiver)
    {
        TryAddress(receiver.Url, $"The url of the destination {receiver.Id}");
        if ((receiver.TemplatePath is not { } path || File.Exists(path))
            && WebhookReceiver.FaultOfTemplate(receiver with { Template = AlertWiringReceivers.Template(receiver) }) is { } fault)
            return fault;
        return receiver.Headers.All(header => CanBeHad(header.Value)) && (receiver.Secret is not { } secret || CanBeHad(secret))
            ? WebhookReceiver.FaultOfSecrets(AlertWiringReceivers.WithSecrets(receiver))
            : null;
    }

    private static void TryAddress(KeptValue? address, string what)
    {
        if (address is not null && CanBeHad(address))
            AlertWiringReceivers.Address(address, what);
    }

    private static bool CanBeHad(KeptValue kept) => kept.TryResolve(out _, out _);

    private static bool CanBeHad(string file) => OrdinaryFile.TryRead(file, LargestFile, out _, out _);
}
