using System.Globalization;
using BackyardSentinel.Alerting;
using BackyardSentinel.Garden;
using BackyardSentinel.Infection;

namespace BackyardSentinel.Delivery;

/// <summary>
/// The figures behind an alert by name, for templates and machines: UTC moments, days as year-month-day, amounts with one
/// decimal point. What is not known is left out, so that a template's default takes its place.
/// </summary>
public static class AlertWiringFacts
{
    /// <summary>The fact that names every episode of a message that tells several, a line each: whoever answers it answers these.</summary>
    public const string Episodes = "episodes";

    /// <summary>The fact that names what such a message tells, a line each, as the ids of messages that would tell it alone.</summary>
    public const string Tells = "tells";

    /// <summary>The facts of an alert.</summary>
    /// <param name="alert">The alert.</param>
    public static IReadOnlyDictionary<string, string> Of(Alert alert)
    {
        ArgumentNullException.ThrowIfNull(alert);
        Dictionary<string, string> facts = new(StringComparer.Ordinal);
        if (alert.Level is { } level)
        {
            facts["level"] = level.Word();
            facts["level_number"] = ((int)level).ToString(CultureInfo.InvariantCulture);
        }

        if (alert.Occasions.Count > 1)
        {
            facts[Episodes] = string.Join('\n', alert.Occasions.Select(occasion => occasion.Episode).Distinct(StringComparer.Ordinal));
            facts[Tells] = string.Join('\n', alert.Tells);
        }

        if (alert.Kind == Alert.SummaryKind)
        {
            facts["count"] = Whole(Alert.News(alert.Occasions).Count);
            return facts;
        }

        foreach (var (name, value) in Of(alert.Occasions[0]))
        {
            if (value is not null)
                facts[name] = value;
        }

        return facts;
    }

    /// <summary>The episodes that an answer to a message is about.</summary>
    /// <param name="message">The message.</param>
    public static IReadOnlyList<string> EpisodesOf(AlertMessage message)
    {
        ArgumentNullException.ThrowIfNull(message);
        return message.Facts.TryGetValue(Episodes, out var several) ? several.Split('\n') : [message.Episode];
    }

    private static IEnumerable<(string Name, string? Value)> Of(Occasion occasion) =>
        occasion switch
        {
            LevelRisen risen =>
            [
                ("from", risen.From.Word()),
                ("since", Moment(risen.Since)),
                ("spell_start", Moment(risen.SpellStart)),
                ("rule", risen.Rule),
                ("wet_hours", Tenths(risen.WetHours)),
                ("rain_mm", Tenths(risen.RainMm)),
                ("mean_temp_c", Tenths(risen.MeanTempC)),
                ("cover", risen.Cover),
                ("uncertain", Flag(risen.Uncertain)),
                ("no_rain_gauge", Flag(risen.NoRainGauge)),
                ("sheltered", Flag(risen.Sheltered)),
                ("stage_sure", Flag(risen.StageSure)),
            ],
            WindowAhead ahead =>
            [
                ("expected_at", Moment(ahead.ExpectedAt)),
                ("issued", Moment(ahead.Issued)),
                ("wet_hours", Tenths(ahead.WetHours)),
                ("rain_mm", Tenths(ahead.RainMm)),
                ("mean_temp_c", Tenths(ahead.MeanTempC)),
                ("cover", ahead.Cover),
            ],
            SprayDeadlineNear near =>
            [
                ("days_left", Whole(near.DaysLeft)),
                ("expected_swell", Day(near.ExpectedSwell)),
                ("early_swell", Day(near.EarlySwell)),
                ("late_swell", Day(near.LateSwell)),
            ],
            LeafFallSprayDue due =>
            [
                ("by", Day(due.By)),
                ("days_left", Whole(due.DaysLeft)),
                ("leaves_down_on", Day(due.LeavesDownOn)),
                ("guessed", Flag(due.Guessed)),
            ],
            ShelterDue shelter =>
            [
                ("by", shelter.By is { } latest ? Day(latest) : null),
                ("days_left", shelter.DaysLeft is { } left ? Whole(left) : null),
                ("guessed", Flag(shelter.Guessed)),
            ],
            SprayLastChance chance =>
            [
                ("expected_swell", Day(chance.ExpectedSwell)),
                ("early_swell", Day(chance.EarlySwell)),
                ("late_swell", Day(chance.LateSwell)),
            ],
            SpraySlotFound slot =>
            [
                ("product", slot.Product),
                ("product_name", slot.ProductName),
                ("start", Moment(slot.Start)),
                ("end", Moment(slot.End)),
                ("serves", slot.Serves),
                ("deadline", slot.Deadline is { } deadline ? Day(deadline) : null),
            ],
            CoverToRecheck cover =>
            [
                ("product", cover.Product),
                ("product_name", cover.ProductName),
                ("rain_mm", Tenths(cover.RainMm)),
                ("sprayed_on", Day(cover.SprayedOn)),
                ("cover", "recheck"),
            ],
            CoverSpent cover =>
            [
                ("product", cover.Product),
                ("product_name", cover.ProductName),
                ("rain_mm", Tenths(cover.RainMm)),
                ("sprayed_on", Day(cover.SprayedOn)),
                ("cover", "spent"),
            ],
            ScoutingDue due =>
            [
                ("window_opened", Moment(due.WindowOpened)),
                ("likely_from", Day(due.LikelyFrom)),
                ("likely_to", Day(due.LikelyTo)),
                ("may_not_develop", Flag(due.MayNotDevelop)),
            ],
            LookAtBuds look =>
            [
                ("code", look.Code.ToString("00", CultureInfo.InvariantCulture)),
                ("expected", Flag(look.Expected)),
                ("on", Day(look.On)),
            ],
            NeedsNotMet needs => [("chill", Tenths(needs.Chill)), ("need", Tenths(needs.Need))],
            PickingDue due => [("curl_seen_on", Day(due.CurlSeenOn))],
            SeasonClosed closed =>
            [
                ("warm_days", Flag(closed.WarmDays)),
                ("curl_may_show", Flag(closed.CurlMayShow)),
                ("sheltered", Flag(closed.Sheltered)),
            ],
            SensorSilent silent =>
            [
                ("series", AlertNames.TopicOf(silent.Series, "#")),
                ("quantity", silent.Quantity.Word()),
                ("since", Moment(silent.Since)),
            ],
            SensorBack back =>
            [
                ("series", AlertNames.TopicOf(back.Series, "#")),
                ("quantity", back.Quantity.Word()),
                ("silent_since", Moment(back.SilentSince)),
            ],
            ReadingsDoubtful doubtful =>
            [
                ("quantity", doubtful.Doubt.Quantity.Word()),
                ("fault", doubtful.Doubt.Word),
                ("since", Moment(doubtful.Doubt.Since)),
                ("lowest", Weather.UnitHint.Figure(doubtful.Doubt.Lowest)),
                ("highest", Weather.UnitHint.Figure(doubtful.Doubt.Highest)),
            ],
            SensorStuck stuck =>
            [
                ("series", AlertNames.TopicOf(stuck.Series, "#")),
                ("quantity", stuck.Quantity.Word()),
                ("value", stuck.Value.ToString("0.###", CultureInfo.InvariantCulture)),
                ("since", Moment(stuck.Since)),
            ],
            SensorsSilent silent => [("count", Whole(silent.Count)), ("since", Moment(silent.Since))],
            HubBack back =>
            [
                ("silent_since", Moment(back.SilentSince)),
                ("back", Whole(back.Back)),
                ("still_silent", Whole(back.StillSilent)),
            ],
            ClockWrong wrong => [("off_by_minutes", Whole((int)Math.Clamp(wrong.OffBy.TotalMinutes, int.MinValue, int.MaxValue)))],
            DiskLow low => [("free_mb", low.FreeMb.ToString(CultureInfo.InvariantCulture))],
            AlertPathDead dead => [("since", Moment(dead.Since))],
            _ => throw new InvalidOperationException($"The kind {occasion.Kind} has no facts yet."),
        };

    private static string Moment(DateTimeOffset moment) => AlertJson.Moment(moment);

    private static string Day(DateOnly day) => day.ToString("yyyy-MM-dd", CultureInfo.InvariantCulture);

    private static string? Tenths(double? value) => value?.ToString("0.0", CultureInfo.InvariantCulture);

    private static string Whole(int value) => value.ToString(CultureInfo.InvariantCulture);

    private static string Flag(bool value) => value ? "true" : "false";
}
