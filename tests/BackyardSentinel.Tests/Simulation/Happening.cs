namespace BackyardSentinel.Simulation;

/// <summary>What can happen in a schedule. Time passes only in rounds and waits; what lasts runs beside them.</summary>
internal enum What
{
    /// <summary>Each sensor speaks, By times, ten minutes apart.</summary>
    AllSpeak,

    /// <summary>Nothing is said for By minutes.</summary>
    Wait,

    /// <summary>It is wet from now on, or dry where it was wet.</summary>
    WetOrDry,

    /// <summary>Sensor Of speaks.</summary>
    Says,

    /// <summary>Sensor Of speaks twice at one time, with two values.</summary>
    TwoOfOneTime,

    /// <summary>Sensor Of says the same twice.</summary>
    SaysTwice,

    /// <summary>What sensor Of measures now reaches the broker By minutes later.</summary>
    Late,

    /// <summary>Each sensor speaks, and what they say comes the other way round.</summary>
    OtherOrder,

    /// <summary>Sensor Of is silent for By rounds.</summary>
    Silent,

    /// <summary>Sensor Of sends nonsense, of sort By.</summary>
    Nonsense,

    /// <summary>Sensor Of sends a value that cannot be.</summary>
    ImpossibleValue,

    /// <summary>Sensor Of speaks with its clock wrong by By hours.</summary>
    SensorClockWrong,

    /// <summary>The link breaks and comes back, and the broker sends what it has retained of the sensors.</summary>
    RetainedCopies,

    /// <summary>The link is lost for By minutes.</summary>
    LinkLost,

    /// <summary>Each sensor speaks, it is made safe, the broker does not hear of that, and the link is lost for By minutes.</summary>
    AnswersLost,

    /// <summary>The broker forgets everything, and is back after By minutes.</summary>
    BrokerForgets,

    /// <summary>The broker writes down what it knows.</summary>
    BrokerSaves,

    /// <summary>The broker loses power, and is back after By minutes with what it had written down.</summary>
    BrokerLosesPower,

    /// <summary>The service is killed, and starts after By minutes.</summary>
    Kill,

    /// <summary>Each sensor speaks, it is made safe, and the service is killed before the broker hears of that, for By minutes.</summary>
    KillUnheard,

    /// <summary>Each sensor speaks, and the service is killed as it takes up message Of of those that come, for By minutes.</summary>
    KillTaking,

    /// <summary>The service is killed when the phone has got the next alert and nobody has noted it, for By minutes.</summary>
    KillSending,

    /// <summary>The service is asked to stop, and starts after By minutes.</summary>
    Stop,

    /// <summary>The service is stopped and started with the other garden file.</summary>
    OtherGarden,

    /// <summary>The computer's clock is wrong by Of minutes for By minutes.</summary>
    ClockWrong,

    /// <summary>The disk takes nothing for By minutes, in way Of.</summary>
    DiskRefuses,

    /// <summary>The receiver of alerts is in mood Of for By minutes.</summary>
    Phone,
}

/// <summary>One thing that happens in a schedule.</summary>
/// <param name="What">What.</param>
/// <param name="Of">Which or how; see there.</param>
/// <param name="By">How long or how many; see there.</param>
internal readonly record struct Happening(What What, int Of = 0, int By = 0)
{
    /// <summary>As it can be pasted into a test.</summary>
    public override string ToString() => string.Create(CultureInfo.InvariantCulture, $"new({What}, {Of}, {By}),");
}
