namespace BackyardSentinel.Simulation;

/// <summary>What the sensors of a garden say: a mild day, wet until it turns dry, no two values alike for a while.</summary>
/// <param name="garden">The garden.</param>
internal sealed class SimulatedSensors(SimulatedGarden garden)
{
    private readonly Dictionary<SimulatedDevice, int> _silent = [];

    /// <summary>It is dry.</summary>
    public bool IsDry { get; set; }

    /// <summary>A sensor is silent for so many rounds.</summary>
    public void Silence(SimulatedDevice device, int rounds) => _silent[device] = rounds;

    /// <summary>None is silent any more.</summary>
    public void SpeakAgain() => _silent.Clear();

    /// <summary>A time for what is said now, ms since 1970 UTC; no two are alike.</summary>
    public long NextMs() => garden.Time.Truth.ToUnixTimeMilliseconds() + (garden.Sent.Count % 1000);

    /// <summary>Each that is not silent speaks.</summary>
    /// <param name="backwards">What they say comes the other way round.</param>
    public void Speak(bool backwards = false)
    {
        var says = new List<SimulatedMessage>();
        foreach (var device in garden.Devices)
        {
            if (_silent.TryGetValue(device, out var rounds) && rounds > 0)
                _silent[device] = rounds - 1;
            else
                says.Add(Say(device));
        }

        if (backwards)
            says.Reverse();
        foreach (var message in says)
            garden.Broker.Take(message);
    }

    /// <summary>A sensor says what it measures; the broker has not got it yet.</summary>
    /// <param name="device">The sensor.</param>
    /// <param name="ms">The time it names, ms since 1970 UTC; <c>null</c>: the right one.</param>
    /// <param name="mayBeRefused">That cannot be.</param>
    public SimulatedMessage Say(SimulatedDevice device, long? ms = null, bool mayBeRefused = false)
    {
        var time = ms ?? NextMs();
        var number = garden.Sent.Count;
        var value = device.Quantity switch
        {
            Quantity.Temperature => 11 + (number % 97 / 100.0),
            Quantity.Humidity => (IsDry ? 60 : 97) + (number % 20 / 10.0),
            Quantity.Rain => IsDry ? 0 : 0.2 * (1 + (number / 6 % 7)),
            _ => IsDry ? 0 : 100,
        };
        value = Math.Round(value, 2);
        return garden.Say(device, device.Says(value, time), device.TellsTime ? time : null, value, mayBeRefused);
    }

    /// <summary>The last that a sensor said and that can be.</summary>
    public SimulatedMessage? LastOf(SimulatedDevice device) =>
        garden.Sent.FindLast(message => message.Device == device && message is { Value: not null, MayBeRefused: false });
}
