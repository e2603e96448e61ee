using BackyardSentinel.Wording;

namespace BackyardSentinel.Mqtt;

/// <summary>The link is down; the message says why. The link itself catches it and tries again.</summary>
public sealed class LinkException(Sentence says, bool takenOver = false, Exception? inner = null) : Exception(says.Text, inner)
{
    /// <summary>Why, to be told in any language.</summary>
    public Sentence Says { get; } = says;

    /// <summary>Another client uses our id, so coming back at once would throw it out in turn.</summary>
    public bool TakenOver { get; } = takenOver;
}
