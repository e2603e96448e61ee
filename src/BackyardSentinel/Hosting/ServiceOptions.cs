using BackyardSentinel.Contract;
using BackyardSentinel.Web.Access;
using BackyardSentinel.Web.SetUp;

namespace BackyardSentinel.Hosting;

/// <summary>How the services of a garden run.</summary>
/// <param name="ClockFromReadings">The readings' own times are the clock, as for a recorded log; nothing is sent to receivers then.</param>
/// <param name="OnAlert">Told each new alert.</param>
/// <param name="OnPage">Told where the page is once it is served.</param>
/// <param name="Examine">Looks the installation over for the page; <c>null</c>: there is none to look at.</param>
/// <param name="OnBegun">Told when the season has been read and the service works.</param>
/// <param name="StartsAnew">Whether it stops to start anew with a changed garden file; <c>null</c>: it never does.</param>
public sealed record ServiceOptions(
    bool ClockFromReadings,
    Action<AlertMessage>? OnAlert = null,
    Action<Invitation>? OnPage = null,
    Func<CancellationToken, Task<SetUpLook>>? Examine = null,
    Action? OnBegun = null,
    Func<bool>? StartsAnew = null);
