using System.Globalization;
using BackyardSentinel.Garden;
using BackyardSentinel.Infection;
using BackyardSentinel.Phenology;
using BackyardSentinel.Tuning;
using BackyardSentinel.Watching;
using BackyardSentinel.Weather;

namespace BackyardSentinel.Commands.Replay;

/// <summary>Answers what would have been, from two replays of one log.</summary>
public static class WhatIfAnswer
{
    /// <summary>Sets what was beside what would have been.</summary>
    /// <param name="move">The spray.</param>
    /// <param name="was">The replay with the journal as it is.</param>
    /// <param name="then">The same with the spray moved.</param>
    public static WhatIf Of(SprayMove move, ReplayResult was, ReplayResult then)
    {
        var plantings = move.Sprays.Select(spray => spray.Planting).ToHashSet(StringComparer.Ordinal);
        return new WhatIf(move, CoverIf.Of(About(was), About(then)), [.. Noted(move, was)]);

        // A spray is for its own season.
        IEnumerable<InfectionWindow> About(ReplayResult result) => result.Windows.Where(window =>
            window.Rule == result.Site.LevelRule
            && plantings.Contains(window.Planting)
            && SeasonOf(LocalDay.Of(window.OpenedAt, result.Site.Zone), result) is var season
            && (season == SeasonOf(move.On, result) || (move.InsteadOf is { } day && season == SeasonOf(day, result))));

        static Season? SeasonOf(DateOnly day, ReplayResult result) => new SeasonCalendar(result.Site.LatitudeDeg).SeasonOf(day);
    }

    private static IEnumerable<string> Noted(SprayMove move, ReplayResult was)
    {
        if (was.Start is { } start && LocalDay.Of(start, was.Site.Zone) is var first && move.On < first)
            yield return string.Create(
                CultureInfo.InvariantCulture,
                $"The log begins on {first:yyyy-MM-dd}: rain between {move.On:yyyy-MM-dd} and then is not known and not counted.");
        if (was.End is { } end && LocalDay.Of(end, was.Site.Zone) is var last && move.On > last)
            yield return string.Create(
                CultureInfo.InvariantCulture,
                $"The log ends on {last:yyyy-MM-dd}, before {move.On:yyyy-MM-dd}: of what came after nothing is known.");
        foreach (var planting in move.Sprays.Select(spray => spray.Planting).Distinct())
        {
            if (Swelling(planting, move.On, was) is { } buds)
                yield return $"{was.Site.Called(planting)}: {buds} A spray against leaf curl goes on before they swell; "
                    + "later, cover or not, it no longer helps.";
        }

        yield return "Cover is what rain has left when the window opens. It does not say that a spray worked, "
            + "nor that one was allowed or fit on that day: the label does.";
    }

    /// <summary>What is known of buds that were no longer shut on a day; <c>null</c>: they were.</summary>
    private static string? Swelling(string planting, DateOnly on, ReplayResult was)
    {
        var season = new SeasonCalendar(was.Site.LatitudeDeg).SeasonOf(on);
        var seen = was.Stages
            .Where(stage => stage.Planting == planting && stage.On <= on && season?.Contains(stage.On) != false)
            .OrderBy(stage => stage.On)
            .ThenByDescending(stage => stage.Code) // Leaf buds before flower buds.
            .LastOrDefault();
        var code = seen?.Code ?? was.Site.Plantings.FirstOrDefault(one => one.Id == planting)?.Stage;
        if (code is { } bbch && SprayStage.BudsSwell(bbch))
            return string.Create(CultureInfo.InvariantCulture, $"on {on:yyyy-MM-dd} the buds were at BBCH {bbch:00}.");
        return was.MayBeOpen.Any(span => span.Planting == planting && span.From <= on && !(span.To <= on))
            ? string.Create(CultureInfo.InvariantCulture, $"on {on:yyyy-MM-dd} the buds may have begun to swell.")
            : null;
    }
}
