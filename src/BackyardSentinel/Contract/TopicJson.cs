using System.Text.Json;
using BackyardSentinel.Garden;
using BackyardSentinel.Infection;
using BackyardSentinel.Weather;

namespace BackyardSentinel.Contract;

/// <summary>The payloads of the retained topics.</summary>
public static class TopicJson
{
    /// <summary>The payload of <c>…/risk</c>.</summary>
    public static byte[] Risk(SiteWatch watch, Planting planting) =>
        JsonSerializer.SerializeToUtf8Bytes(RiskOf(watch, planting), ContractJson.Default.RiskTopic);

    /// <summary>How a planting is judged. One that has not been judged yet is unknown, never clear.</summary>
    public static RiskTopic RiskOf(SiteWatch watch, Planting planting)
    {
        var risk = watch.LastInterval is null ? null : watch.Risks.FirstOrDefault(one => one.Planting == planting.Id);
        var level = risk?.Level ?? Level.Unknown;
        var opinions = risk
            ?.Opinions.OrderBy(pair => pair.Key, StringComparer.Ordinal)
            ?? Enumerable.Empty<KeyValuePair<string, Level>>();
        return new RiskTopic(
            level,
            (int)level,
            risk?.Since,
            watch.Site.LevelRule,
            risk?.Spell is { } spell
                ? new RunningSpell(spell.Start, spell.WetHours, spell.RainMm, spell.MeanTempC, spell.NoRainGauge)
                : null,
            new Dictionary<string, Level>(opinions, StringComparer.Ordinal),
            risk?.Stage ?? planting.Stage,
            risk?.StageSure ?? planting.Follows is null,
            risk?.Cover,
            watch.LastInterval?.End,
            risk?.Sheltered ?? false,
            risk?.Uncertain ?? true);
    }

    /// <summary>The payload of <c>…/weather</c>; <c>null</c> before the first interval.</summary>
    public static byte[]? Weather(SiteWatch watch) =>
        WeatherOf(watch) is { } weather ? JsonSerializer.SerializeToUtf8Bytes(weather, ContractJson.Default.WeatherTopic) : null;

    /// <summary>The interval that was judged last; <c>null</c> before the first.</summary>
    public static WeatherTopic? WeatherOf(SiteWatch watch)
    {
        if (watch.LastInterval is not { } interval)
            return null;
        var moist = interval is { TemperatureC: { } t, HumidityPct: { } humidity } ? (t, humidity) : ((double T, double HumidityPct)?)null;
        var wetness = watch.LastWetness;
        return new WeatherTopic(
            interval.Start,
            interval.End,
            interval.TemperatureC,
            interval.HumidityPct,
            interval.WindMs,
            interval.RainMm,
            interval.LeafWetShare,
            moist is { } air ? Psychrometrics.DewPointC(air.T, air.HumidityPct) : null,
            moist is { } same ? Psychrometrics.VapourPressureDeficitHpa(same.T, same.HumidityPct) : null,
            wetness?.State ?? WetnessState.Unknown,
            wetness is { State: not WetnessState.Unknown } ? wetness.Value.Fraction : null);
    }

    /// <summary>The payload of <c>…/state</c>.</summary>
    /// <param name="state">Whether the service is there.</param>
    /// <param name="since">Since when, UTC; <c>null</c> in the last will.</param>
    public static byte[] State(ServiceState state, DateTimeOffset? since) =>
        JsonSerializer.SerializeToUtf8Bytes(new StateTopic(state, since), ContractJson.Default.StateTopic);

    /// <summary>The payload of <c>…/influx</c>: how far the season is copied to InfluxDB.</summary>
    /// <param name="topic">How it stands.</param>
    public static byte[] Influx(InfluxTopic topic) => JsonSerializer.SerializeToUtf8Bytes(topic, ContractJson.Default.InfluxTopic);

    /// <summary>The payload of <c>…/alert-path</c>: whether any alert gets out.</summary>
    /// <param name="isDead">No destination has taken anything for a day although alerts wait.</param>
    /// <param name="openSince">Since when the oldest of them waits, UTC.</param>
    /// <param name="lastWorked">When a destination last took one, UTC; <c>null</c>: never yet.</param>
    public static byte[] AlertPath(bool isDead, DateTimeOffset? openSince, DateTimeOffset? lastWorked) =>
        JsonSerializer.SerializeToUtf8Bytes(
            new AlertPathTopic(isDead ? AlertPathState.Dead : AlertPathState.Working, isDead ? openSince : null, lastWorked),
            ContractJson.Default.AlertPathTopic);
}
