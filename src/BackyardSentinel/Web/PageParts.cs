using BackyardSentinel.Configuration;
using BackyardSentinel.Delivery;
using BackyardSentinel.Live;
using BackyardSentinel.Mqtt;
using BackyardSentinel.Web.Sensors;
using BackyardSentinel.Web.SetUp;

namespace BackyardSentinel.Web;

/// <summary>What the page is made from.</summary>
/// <param name="Garden">The garden.</param>
/// <param name="Words">The words.</param>
/// <param name="Loop">Answers what the garden is like now.</param>
/// <param name="Books">What is read from the store and written there.</param>
public sealed record PageParts(GardenFile Garden, AlertWords Words, SentinelLoop Loop, PageBooks Books)
{
    /// <summary>Why nothing can be heard of the broker; <c>null</c>: it can.</summary>
    public Func<LinkTrouble?> LinkTrouble { get; init; } = () => null;

    /// <summary>Readings are taken and judged, and the broker is not away for longer than it takes to start again.</summary>
    public Func<bool> IsWell { get; init; } = () => Loop.IsWell;

    /// <summary>Looks the installation over, beside everything else; <c>null</c>: there is none to look at.</summary>
    public Func<CancellationToken, Task<SetUpLook>>? Examine { get; init; }

    /// <summary>Hears what sensors send, when somebody asks; <c>null</c>: there is no broker to listen to.</summary>
    public HearBroker? Listen { get; init; }
}
