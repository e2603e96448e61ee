namespace BackyardSentinel.Network;

/// <summary>The ways in which a line between the service and somebody else goes wrong.</summary>
public enum LineFault
{
    /// <summary>None: it carries everything at once.</summary>
    None,

    /// <summary>Nobody listens at the other end: connections are refused, those that stood are closed.</summary>
    Refused,

    /// <summary>What is sent is taken and vanishes, without a word; a connection that this befell never speaks again.</summary>
    BlackHole,

    /// <summary>Connections are broken off as soon as they stand.</summary>
    Reset,

    /// <summary>Each byte comes by itself.</summary>
    OneByteSlices,

    /// <summary>Everything is late by 0 to 10 seconds.</summary>
    Latency,

    /// <summary>1,000 bytes a second each way.</summary>
    Slow,

    /// <summary>
    /// A connection is broken off after 1, 2, 4 … 512 bytes to the other end; each second one takes all and is broken off after as many
    /// bytes of the answer, 32 at most.
    /// </summary>
    CutOff,

    /// <summary>The other end shows a certificate that has expired.</summary>
    CertificateExpired,

    /// <summary>The other end shows a certificate of another host.</summary>
    CertificateOfAnother,
}
