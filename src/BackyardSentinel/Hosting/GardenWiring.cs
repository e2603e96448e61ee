using BackyardSentinel.Configuration;
using BackyardSentinel.Forecasts;
using BackyardSentinel.Mqtt;
using BackyardSentinel.Wording;

namespace BackyardSentinel.Hosting;

/// <summary>Completes what the garden file says of the broker.</summary>
public static class GardenWiring
{
    /// <summary>The broker, with the password fetched.</summary>
    /// <param name="garden">The garden file.</param>
    /// <param name="reason">What is missing, if something is.</param>
    public static BrokerOptions? Broker(GardenFile garden, out Sentence? reason)
    {
        var broker = garden.Broker;
        if (broker.Password is { } secret)
        {
            if (!secret.TryResolve(out var password, out reason))
            {
                reason = $"The broker's password cannot be had: {reason!}.";
                return null;
            }

            broker = broker with { Password = secret with { Plain = password } };
        }

        try
        {
            if (broker.CaFile is { } authority)
                CaFile.Authorities(authority);
            OwnCertificate.Of(broker)?.Dispose();
        }
        catch (LinkException problem)
        {
            reason = problem.Says;
            return null;
        }

        reason = null;
        return broker with
        {
            // A forecast may have 1 MiB; one that is somewhat larger must arrive too, so that it can be told.
            MaximumPacketBytes = garden.Forecast is { Kind: ForecastWay.Mqtt } ? 4 * 1024 * 1024 : broker.MaximumPacketBytes,
            ClientId = broker.ClientId ?? ClientName.Of(garden.Store.Path),
        };
    }
}
