using BackyardSentinel.Contract;
using BackyardSentinel.Delivery;

namespace BackyardSentinel.Simulation;

/// <summary>How the receiver of alerts answers.</summary>
internal enum PhoneMood
{
    /// <summary>It takes what is sent.</summary>
    Takes,

    /// <summary>It does not answer.</summary>
    Away,

    /// <summary>It asks to be left alone for a while.</summary>
    Busy,

    /// <summary>It refuses what is sent.</summary>
    Refuses,

    /// <summary>Sending fails in the program itself.</summary>
    Fails,
}

/// <summary>Who gets the alerts, and remembers each.</summary>
internal sealed class SimulatedPhone : IAlertReceiver
{
    public const string Id = "phone";

    public string Name => Id;

    public string Fingerprint => Id;

    public PhoneMood Mood { get; set; }

    /// <summary>The ids of what it got, each as often as it came.</summary>
    public List<string> Got { get; } = [];

    /// <summary>What happens between its getting something and its saying so; once.</summary>
    public Action? OnGot { get; set; }

    public Task<DeliveryResult> SendAsync(AlertMessage message, CancellationToken ct)
    {
        if (Mood == PhoneMood.Takes)
        {
            Got.Add(message.Id);
            var then = OnGot;
            OnGot = null;
            then?.Invoke();
        }

        return Mood switch
        {
            PhoneMood.Takes => Task.FromResult<DeliveryResult>(new DeliveryResult.Delivered("yes")),
            PhoneMood.Away => Task.FromResult<DeliveryResult>(new DeliveryResult.RetryLater("It does not answer.")),
            PhoneMood.Busy => Task.FromResult<DeliveryResult>(new DeliveryResult.RetryLater("Later.", TimeSpan.FromMinutes(40))),
            PhoneMood.Refuses => Task.FromResult<DeliveryResult>(new DeliveryResult.Rejected("It does not want this.")),
            PhoneMood.Fails => throw new InvalidOperationException("It fails."),
        };
    }
}
