using BackyardSentinel.Garden;
using BackyardSentinel.Live;
using BackyardSentinel.Sensors;
using BackyardSentinel.Storage;
using BackyardSentinel.Wording;

namespace BackyardSentinel.Commands.Examine;

/// <summary>Checks of the sensors, by what the store has of their last days.</summary>
internal static class SensorChecks
{
    /// <summary>So much of the time must have been heard before a value is said to have stood still all of it (assumed).</summary>
    private const double HeardShare = 0.75;

    /// <summary>Pauses that must be known before one is called usual (assumed).</summary>
    private const int FewestPauses = 6;

    private static readonly TimeSpan Silent = TimeSpan.FromHours(3), StuckFor = TimeSpan.FromHours(24), Lately = TimeSpan.FromDays(7);

    public static Verdict AllSpeak(Scene scene)
    {
        if (StoreChecks.NotRead(scene) is { } not)
            return not;
        List<SeriesMap> silent =
            [.. scene.Garden.Series.Where(series => scene.LastOf(series.Name) is not { } last || scene.Now - last > Silent)];
        if (silent.Count == 0)
            return Verdict.Fine(
                scene.Garden.Series.Count == 1
                    ? (Sentence)$"All {1} sensor gave a reading in the last three hours."
                    : $"All {scene.Garden.Series.Count} sensors gave a reading in the last three hours.");
        // A service that has just been started, or not yet, has stored nothing; that is no fault of a sensor that can be heard.
        List<SeriesMap> unheard = silent.FindAll(series => scene.Broker.Topics.GetValueOrDefault(series.Topic) is not { Live: > 0 });
        if (unheard.Count == 0)
            return Verdict.Look(
                $"The broker has {Named(silent)}, the store has nothing of the last three hours.",
                $"Start the service, or wait some minutes if it has just been started; then run refused, "
                    + $"which lists what it could not take.");
        if (scene.Garden.Series.All(series => scene.LastOf(series.Name) is null))
            return Verdict.Look(
                $"Nothing has come yet of {Named(unheard)}.",
                $"Wait some minutes if the service has just been started. Then see whether it sends (listen), and whether topic and path "
                    + $"are right (listen --payload).");
        return Verdict.Wrong(
            $"No reading for three hours or longer of {Named(unheard)}.",
            $"See whether it sends (listen), whether topic and path are right (listen --payload), and its battery.");
    }

    public static Verdict NoneRefused(Scene scene)
    {
        if (StoreChecks.NotRead(scene) is { } not)
            return not;
        var since = (scene.Now - Lately).ToUnixTimeMilliseconds() * 1000;
        var refused = scene.Store.Refused.Where(row => row.ReceivedUs >= since).ToList();
        return refused.Count == 0
            ? Verdict.Fine($"Nothing was refused in the last seven days.")
            : Verdict.Look(
                refused.Count == 1 ? Said(refused[^1]) : $"{Said(refused[^1])} (and {refused.Count - 1} more)",
                $"Run refused, which lists all with what was sent; listen --payload tries a message.");
    }

    public static Verdict UnitsCanBe(Scene scene)
    {
        if (StoreChecks.NotRead(scene) is { } not)
            return not;
        foreach (var site in scene.Garden.Sites)
        {
            // A watch of its own, as the service has one, over these days alone.
            var watch = new SiteWatch(site, _ => { });
            var readings = scene.Garden.SeriesOf(site.Id)
                .SelectMany(series => scene.Store.Recent.GetValueOrDefault(series.Name, []).Select(row => SeriesMaps.Sensed(series, row)))
                .OrderBy(sensed => sensed.Reading.Time);
            foreach (var step in SeasonOrder.Of(readings, DateTimeOffset.MaxValue, withHeard: false))
                watch.Accept(step.Sensed.Reading, step.At);
            if (watch.Doubts is [var doubt, ..])
                return Verdict.Look(
                    $"{new Name(site.Id)}: {doubt.Seen(site.Units).Ended()} It is not used until it can be right.", doubt.Remedy.AsWhole());
        }

        return Verdict.Fine($"The values of the last two days can be what they say.");
    }

    public static Verdict NoneStuck(Scene scene)
    {
        if (StoreChecks.NotRead(scene) is { } not)
            return not;
        var since = (scene.Now - StuckFor).ToUnixTimeMilliseconds();
        List<SeriesMap> stuck =
        [
            .. scene.Garden.Series.Where(series =>
                series.Quantity == Quantity.Temperature
                && scene.Store.Recent.TryGetValue(series.Name, out var readings)
                && readings.Where(one => one.TimeMs >= since).ToList() is { Count: >= 20 } day
                && day[^1].TimeMs - day[0].TimeMs > HeardShare * StuckFor.TotalMilliseconds
                && day.TrueForAll(one => one.Value == day[0].Value)),
        ];
        return stuck.Count == 0
            ? Verdict.Fine($"No temperature has stood still for a day.")
            : Verdict.Look(
                $"Not changed for a day: {Named(stuck)}.",
                $"Look at the sensor; a dead one is often repeated by its gateway.");
    }

    public static Verdict SpeakOftenEnough(Scene scene)
    {
        if (StoreChecks.NotRead(scene) is { } not)
            return not;
        foreach (var site in scene.Garden.Sites)
        {
            List<SeriesMap> slow =
            [
                .. scene.Garden.SeriesOf(site.Id).Where(series =>
                    series.Quantity != Quantity.Rain
                    && scene.Store.Recent.TryGetValue(series.Name, out var readings)
                    && UsualPause(readings) > site.Hold),
            ];
            if (slow.Count > 0)
                return Verdict.Look(
                    $"Comes less often than a value holds at {new Name(site.Id)}, {site.Hold.TotalMinutes:0} minutes: {Named(slow)}. "
                        + $"The time between is unknown, and a window may be missed in it.",
                    $"Let it send more often, or set 'hold' of the site to a little more than its pause.");
        }

        return Verdict.Fine($"The sensors speak at least as often as a value holds.");
    }

    /// <summary>The middle of the pauses between readings; none where too few are known.</summary>
    private static TimeSpan? UsualPause(IReadOnlyList<StoredReading> readings)
    {
        long[] pauses = [.. readings.Zip(readings.Skip(1), (one, next) => next.TimeMs - one.TimeMs).Order()];
        return pauses.Length < FewestPauses ? null : TimeSpan.FromMilliseconds(pauses[pauses.Length / 2]);
    }

    public static Verdict HasRainGauge(Scene scene) =>
        scene.Garden.Sites.FirstOrDefault(site => !site.HasRainGauge) is { } site
            ? Verdict.Look(
                $"{new Name(site.Id)} has no rain series, so any wetness begins a wet spell.",
                $"Add a rain gauge; until then there are more alerts than need be.")
            : Verdict.Fine($"Every site has a rain gauge.");

    private static Sentence Said(QuarantinedMessage row) =>
        $"{new Name(row.Topic)}: {row.Reason.Fit(TerminalText.Plain)}";

    private static Sentence Named(List<SeriesMap> series)
    {
        var first = Sentence.Joined(
            ", ", series.Take(3).Select(one => (Sentence)$"{one.Quantity.Said()} on {new Name(one.Topic)}"));
        return series.Count > 3 ? $"{first} and {series.Count - 3} more" : first;
    }
}
