using BackyardSentinel.Configuration;
using BackyardSentinel.Mqtt;

namespace BackyardSentinel.Hosting;

/// <summary>Turns the garden file's words into what the parts of the service take.</summary>
public static class GardenWiring
{
    /// <summary>The broker, with the password fetched.</summary>
    /// <param name="garden">The garden file.</param>
    /// <param name="reason">What is missing, if something is.</param>
    public static BrokerOptions? Broker(GardenFile garden, out string? reason)
    {
        var settings = garden.Broker;
        string? password = null;
        if (settings.Password is { } secret && !secret.TryResolve(out password, out reason))
        {
            reason = $"The broker's password cannot be had: {reason}.";
            return null;
        }

        if (settings.CaFile is { } authority)
        {
            try
            {
                LinkGreeting.Authorities(authority);
            }
            catch (LinkException problem)
            {
                reason = problem.Message;
                return null;
            }
        }

        reason = null;
        return new BrokerOptions
        {
            Host = settings.Host,
            Port = settings.Port,
            Username = settings.Username,
            Password = password,
            Tls = settings.Tls,
            CaFile = settings.CaFile,
            // A forecast may have 1 MiB; one that is somewhat larger must arrive too, so that it can be told.
            MaximumPacketBytes = garden.Forecast is { Kind: "mqtt" } ? 4 * 1024 * 1024 : 256 * 1024u,
            ClientId = settings.ClientId ?? ClientName.Of(garden.Store.Path),
            TopicRoot = settings.TopicRoot,
        };
    }
}
