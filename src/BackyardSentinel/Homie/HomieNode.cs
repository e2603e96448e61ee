using BackyardSentinel.Garden;
using BackyardSentinel.Infection;
using BackyardSentinel.Watching;
using BackyardSentinel.Weather;

namespace BackyardSentinel.Homie;

/// <summary>A part of the device: a site's weather or one planting.</summary>
/// <param name="Id">Its id within the device.</param>
/// <param name="Name">Its name for people.</param>
/// <param name="Site">Id of the site whose watch gives the values.</param>
/// <param name="Properties">Its values.</param>
internal sealed record HomieNode(string Id, string Name, string Site, IReadOnlyList<HomieProperty> Properties)
{
    private static readonly string LevelFormat = string.Join(
        ',',
        Enum.GetValues<Level>().OrderBy(level => (int)level).Select(level => level.Word()));
    private static readonly string CoverFormat = string.Join(',', Enum.GetValues<Cover>().Select(cover => cover.Word()));
    private static readonly string WetnessFormat = string.Join(',', Enum.GetValues<WetnessState>().Select(state => state.Word()));

    /// <summary>A site's last interval.</summary>
    /// <param name="id">The node's id.</param>
    /// <param name="site">The site.</param>
    public static HomieNode Weather(string id, Site site) => new(id, $"Weather at {site.Id}", site.Id,
    [
        new("temperature", "Air temperature", "float", watch => HomieText.Figure(watch.LastInterval?.TemperatureC), Unit: "°C"),
        new("humidity", "Relative humidity", "float", watch => HomieText.Figure(watch.LastInterval?.HumidityPct), "0:100", "%"),
        new("rain", "Rain of the last interval", "float", watch => HomieText.Figure(watch.LastInterval?.RainMm), "0:", "mm"),
        new("dew-point", "Dew point", "float", watch => HomieText.Figure(DewPointC(watch)), Unit: "°C"),
        new("wetness", "Leaves", "enum", watch => (watch.LastWetness?.State ?? WetnessState.Unknown).Word(), WetnessFormat),
        new("wet-fraction", "Share of the interval that counts as wet", "float", WetFraction, "0:1"),
        new("as-of", "End of the last interval", "datetime", watch => HomieText.DateTime(watch.LastInterval?.End)),
    ]);

    /// <summary>A planting's judgement. One that has not been judged yet is unknown, never clear.</summary>
    /// <param name="id">The node's id.</param>
    /// <param name="site">Its site.</param>
    /// <param name="planting">The planting.</param>
    public static HomieNode Of(string id, Site site, Planting planting)
    {
        PlantingWatch Own(SiteWatch watch) => watch.Plantings.First(one => one.Planting.Id == planting.Id);
        PlantingRisk? Risk(SiteWatch watch) => watch.LastInterval is null ? null : Own(watch).Risk;
        return new(
            id,
            $"{planting.Id} at {site.Id}",
            site.Id,
            [
                new("level", "Level", "enum", watch => (Risk(watch)?.Level ?? Level.Unknown).Word(), LevelFormat),
                new(
                    "level-number",
                    "Level as a number",
                    "integer",
                    watch => HomieText.Whole((int)(Risk(watch)?.Level ?? Level.Unknown)),
                    "-1:4"),
                new("since", "Level since", "datetime", watch => HomieText.DateTime(Risk(watch)?.Since)),
                new("uncertain", "Weather behind it incomplete", "boolean", watch => HomieText.Boolean(Risk(watch)?.Uncertain ?? true)),
                new("stage", "Bud stage (BBCH)", "integer", watch => HomieText.Whole(Own(watch).Stage.Code), "0:99"),
                new("stage-doubt", "Why no bud stage is known", "string", watch => HomieText.Words(Own(watch).Stage.Doubt?.Text ?? "")),
                new("susceptibility", "How far it can be infected", "float", watch => HomieText.Figure(Risk(watch)?.Susceptibility), "0:1"),
                new("cover", "Cover", "enum", watch => Risk(watch)?.Cover?.Word(), CoverFormat),
                new(
                    "spell-wet-hours",
                    "Wet hours of the running spell",
                    "float",
                    watch => HomieText.Figure(watch.RunningSpell?.WetHours),
                    "0:",
                    "h"),
                new("spell-rain", "Rain of the running spell", "float", watch => HomieText.Figure(watch.RunningSpell?.RainMm), "0:", "mm"),
            ]);
    }

    private static double? DewPointC(SiteWatch watch) =>
        watch.LastInterval is { TemperatureC: { } t, HumidityPct: { } humidity } ? Psychrometrics.DewPointC(t, humidity) : null;

    private static string? WetFraction(SiteWatch watch) =>
        watch.LastWetness is { State: not WetnessState.Unknown } wetness ? HomieText.Figure(wetness.Fraction) : null;
}
