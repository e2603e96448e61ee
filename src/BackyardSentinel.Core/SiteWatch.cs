#pragma warning disable CA1822
using BackyardSentinel.Events;
using BackyardSentinel.Infection;
using BackyardSentinel.Weather;

namespace BackyardSentinel;

/// <summary>Stub to be replaced.</summary>
public sealed class SiteWatch
{
    /// <summary>Starts a watch over one site; events go to <paramref name="onEvent"/> as they become known.</summary>
    public SiteWatch(Site site, Action<SentinelEvent> onEvent) => (Site, OnEvent) = (site, onEvent);

    /// <summary>The site watched.</summary>
    public Site Site { get; }

    private Action<SentinelEvent> OnEvent { get; }

    /// <summary>Number of intervals judged so far.</summary>
    public long IntervalsJudged { get; }

    /// <summary>The last interval judged, if any.</summary>
    public WeatherInterval? LastInterval { get; }

    /// <summary>Whether the last interval was wet; <c>null</c> if unknown or frozen.</summary>
    public bool? LastIntervalWet { get; }

    /// <summary>The wet spell that runs now, if any.</summary>
    public WetSpell? RunningSpell { get; }

    /// <summary>The standing judgement of each planting, in the site's order.</summary>
    public IReadOnlyList<PlantingRisk> Risks { get; } = [];

    /// <summary>A sensor spoke. First lets time pass to the whole minute of <paramref name="receivedAt"/>.</summary>
    public QualityVerdict Accept(in Reading reading, DateTimeOffset receivedAt) => QualityVerdict.Good;

    /// <summary>Time passed: judges every interval whose end lies at least the late allowance before <paramref name="now"/>.</summary>
    public void AdvanceTo(DateTimeOffset now) { }

    /// <summary>The log is over: judges what is left, ends the running spell and closes open windows.</summary>
    public void Finish() { }
}
