using BackyardSentinel.Alerting;
using BackyardSentinel.Contract;
using BackyardSentinel.Infection;

namespace BackyardSentinel.Delivery;

/// <summary>Invented alerts of the garden in Tannery Lane.</summary>
internal static class Some
{
    public static readonly DateTimeOffset Morning = new(2027, 3, 4, 6, 0, 0, TimeSpan.Zero);

    /// <summary>The example secret published with the Standard Webhooks specification.</summary>
    public const string Secret = "whsec_MfKQ9r8GKYqrTwjUPD8ILPZIo2LaLaSw";

    public static AlertMessage Alert(string id, string episode = "south-wall/white-peach/spell", DateTimeOffset? at = null) => new(
        id, episode, "south-wall", ["white-peach"], "level-risen", Level.Likely, Urgency.High, at ?? Morning, (at ?? Morning).AddHours(24),
        "South wall: likely", "Wet since 20:10.\n13.6 mm \"so far\".", AlertMessage.NoFacts);

    /// <summary>Waits, in real time, until something holds. The limit is there for what never comes; it is no measure of speed.</summary>
    public static async Task Until(Func<bool> holds, CancellationToken ct)
    {
        using var patience = CancellationTokenSource.CreateLinkedTokenSource(ct);
        patience.CancelAfter(TimeSpan.FromMinutes(3));
        while (!holds()) await Task.Delay(TimeSpan.FromMilliseconds(10), TimeProvider.System, patience.Token);
    }
}
