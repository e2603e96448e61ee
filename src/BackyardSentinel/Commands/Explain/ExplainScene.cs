using BackyardSentinel.Garden;
using BackyardSentinel.Infection;
using BackyardSentinel.Live;
using BackyardSentinel.Sensors;
using BackyardSentinel.Units;
using BackyardSentinel.Watching;
using BackyardSentinel.Weather;

namespace BackyardSentinel.Commands.Explain;

/// <summary>A site at a moment: what every part of an explanation looks at.</summary>
/// <param name="Series">The site's sensors, in the order of the garden file.</param>
/// <param name="Watch">Its watch, fed until the moment; at least one interval has been judged.</param>
/// <param name="Season">The stored season behind it.</param>
internal sealed record ExplainScene(IReadOnlyList<SeriesMap> Series, SiteWatch Watch, StoredSeason Season)
{
    /// <summary>The site.</summary>
    public Site Site => Watch.Site;

    /// <summary>The moment, UTC.</summary>
    public DateTimeOffset At => Season.At;

    /// <summary>The garden's units.</summary>
    public UnitSystem Units => Site.Units;

    /// <summary>The local day of the moment.</summary>
    public DateOnly Today => LocalDay.Of(At, Site.Zone);

    /// <summary>
    /// The wet spell that the rules' arithmetic is shown for; where no gauge tells of rain an empty one, so that no rain is asked for.
    /// </summary>
    public WetSpell? SpellForRules(PlantingWatch planting) =>
        planting.Risk.Spell
        ?? (Site.HasRainGauge && !planting.Shelter.IsOnWithSensor ? null : new WetSpell(At, At, 0, 0, null, null, null, false, true));

    /// <summary>A moment in the site's local time.</summary>
    public string Local(DateTimeOffset moment) => ExplainWords.Local(moment, Site.Zone);
}
