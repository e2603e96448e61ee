using BackyardSentinel.Garden;
using BackyardSentinel.Sensors;
using BackyardSentinel.Storage;
using BackyardSentinel.Watching;
using BackyardSentinel.Weather;

namespace BackyardSentinel.Commands.Explain;

/// <summary>Explains what the judgement rests on: the readings used last, and what is missing.</summary>
internal static class ExplainSensors
{
    /// <summary>A rain gauge that says nothing for longer is worth a word; many report only when it rains. Assumed.</summary>
    private static readonly TimeSpan QuietGauge = TimeSpan.FromHours(24);

    /// <summary>The quantities the site has sensors for, in the order of the garden file, with their last reading.</summary>
    public static IEnumerable<(Quantity Quantity, Reading? Last)> Readings(ExplainScene scene)
    {
        foreach (var quantity in scene.Series.Select(series => series.Quantity).Distinct())
            yield return (quantity, scene.Season.LastReadings.TryGetValue((scene.Site.Id, quantity), out var last) ? last.Reading : null);
    }

    /// <summary>One reading as a person reads it.</summary>
    public static string Line(ExplainScene scene, Quantity quantity, Reading? last) =>
        last is { } reading
            ? $"{quantity.Name()} {scene.Units.Value(quantity, reading.Value)} at {scene.Local(reading.Time)}, "
                + $"{ExplainWords.Span(scene.At - reading.Time)} old"
            : $"{quantity.Name()}: nothing has come yet";

    /// <summary>What the site lacks, a sentence each.</summary>
    public static IEnumerable<string> Missing(ExplainScene scene)
    {
        foreach (var doubt in scene.Watch.Doubts)
        {
            var seen = doubt.Seen(scene.Units).Text;
            var which = SeriesMap.OneOfSeveral(scene.Series, scene.Site.Id, doubt.Quantity, doubt.Rank);
            var what = which is null ? $"{char.ToUpperInvariant(seen[0])}{seen[1..]}" : $"{which}: {seen}";
            yield return Live.RemarkLog.Ended(
                $"{what}. It is not used since {scene.Local(doubt.Since)}: {doubt.Remedy}");
        }

        foreach (var (quantity, last) in Readings(scene))
        {
            var name = quantity.Name();
            var refused = Refused(scene, quantity, last?.Time);
            if (refused is not null)
                yield return refused;
            if (last is not { } reading)
            {
                if (refused is null)
                    yield return $"Nothing has come of {name} yet; is its topic right?";
            }
            else if (refused is null && quantity == Quantity.Rain && scene.Watch.RainUnknownSince is { } silent)
                yield return $"Nothing has come of {name} since {scene.Local(silent)}, though it used to come at even intervals: "
                    + "what has fallen since is not known.";
            else if (refused is null && quantity == Quantity.Rain && scene.At - reading.Time > QuietGauge)
                yield return $"Nothing has come of {name} since {scene.Local(reading.Time)}; "
                    + "a gauge that speaks only when it rains may be well.";
            else if (refused is null && quantity != Quantity.Rain && scene.At - reading.Time > scene.Site.Hold)
                yield return $"Nothing has come of {name} since {scene.Local(reading.Time)}; "
                    + "its last value no longer stands for the weather.";
        }

        bool Has(Quantity quantity) => scene.Series.Any(series => series.Quantity == quantity);
        if (!Has(Quantity.Temperature))
            yield return "There is no temperature sensor: no rule can open a window, and stages are not computed.";
        if (!Has(Quantity.Rain))
            yield return "There is no rain gauge: wetness alone starts a wet spell, no rain is asked for, "
                + "and the rule rain-day cannot judge.";
        if (!Has(Quantity.Humidity) && !Has(Quantity.LeafWetness))
            yield return "There is neither a humidity nor a leaf-wetness sensor: how long leaves stay wet after rain is not seen.";
        if (scene.Site.LatitudeDeg is null && scene.Watch.Plantings.Any(planting => planting.Stage.Model is not null))
            yield return "There are no coordinates: without a season's start, stages are known only from the journal.";
    }

    /// <summary>What came of a quantity since its last good reading and was not taken, as a sentence; <c>null</c>: nothing did.</summary>
    public static string? Refused(ExplainScene scene, Quantity quantity, DateTimeOffset? since)
    {
        if (scene.Watch.LastRefused.TryGetValue(quantity, out var value) && !(value.At <= since))
            return Sentence(value, scene.Site);
        var series = scene.Series.Where(one => one.Quantity == quantity).ToList();
        // A reason that speaks of another quantity's value or path says nothing of this one.
        return
            scene.Season.Refused.LastOrDefault(row =>
                row.Value is null
                && StoredTime.ToMoment(row.ReceivedUs) <= scene.At
                && !(StoredTime.ToMoment(row.ReceivedUs) <= since)
                && series.Exists(one => one.Topic == row.Topic && PayloadMap.MayConcern(row.Reason.Text, one.Path)))
                is { } message
            ? $"A message came on {message.Topic} at {scene.Local(StoredTime.ToMoment(message.ReceivedUs))}, "
                + $"but no {quantity.Name()} could be read from it: {Live.RemarkLog.Ended(message.Reason.Text)}"
            : null;
    }

    /// <summary>One value that was not taken.</summary>
    public static string Sentence(RefusedReading refused, Site site)
    {
        var name = refused.Reading.Quantity.Name();
        return Live.RemarkLog.Ended(
            $"{char.ToUpperInvariant(name[0])}{name[1..]} {site.Units.Said(refused.Reading.Quantity, refused.Reading.Value)} came at "
                + $"{ExplainWords.Local(refused.At, site.Zone)}, which {refused.Why(site.Units)}");
    }

    /// <summary>What one planting lacks, a sentence each.</summary>
    public static IEnumerable<string> Missing(ExplainScene scene, PlantingWatch planting)
    {
        if (
            !scene.Season.Journal.Any(entry =>
                entry.Site == scene.Site.Id && entry.Planting == planting.Planting.Id && entry.On <= scene.Today))
            yield return $"Nothing is in the journal of {planting.Planting.Called}: no stage was seen, and no spray is known.";
    }
}
