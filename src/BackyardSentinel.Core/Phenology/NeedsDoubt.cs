using BackyardSentinel.Garden;
using BackyardSentinel.Wording;

namespace BackyardSentinel.Phenology;

/// <summary>Needs that a place does not meet: said once wherever the grower looks.</summary>
public static class NeedsDoubt
{
    /// <summary>What a winter that fell short says of the needs, in sentences; <c>null</c>: nothing.</summary>
    /// <param name="model">The model as it stands.</param>
    public static Sentence? Of(StageModel model) =>
        model.NeedsNotMet
            ? (Sentence)($"This winter did not bring the chill of the needs ({Need(model.Needs)}); "
                + $"since {LocalTime.Of(model.ChillMetOn!.Value, TimeForm.Written)} warmth alone counts. {Advice}")
            : null;

    /// <summary>What a usual year says of the needs, in sentences; <c>null</c>: it meets them.</summary>
    /// <param name="needs">The needs.</param>
    /// <param name="calendar">The calendar of the place.</param>
    /// <param name="zone">Its time zone.</param>
    /// <param name="usual">Its usual year.</param>
    public static Sentence? Of(StageNeeds needs, SeasonCalendar calendar, TimeZoneInfo zone, UsualHours usual)
    {
        if (!calendar.IsKnown)
            return null;
        // Any year will do: the usual one is the same every year.
        var season = calendar.SeasonOf(new DateOnly(2026, 12, 1))!.Value;
        var model = new StageModel(needs, calendar, zone, [], null, usual);
        model.AdvanceTo(Weather.LocalDay.StartOf(season.ChillFrom.AddDays(1), zone));
        model.AdvanceTo(Weather.LocalDay.StartOf(calendar.LongestDay(season), zone));
        return !model.NeedsNotMet
            ? null
            : (Sentence)($"a usual winter here does not bring the chill of the needs ({Need(needs)}), "
                + $"so warmth alone moves the buds and their stage is a guess; the needs are not right for the place, or it is the "
                + $"wrong variety for it");
    }

    private static Sentence Advice =>
        $"The variety's needs are not right for the place, or it is the wrong variety for it: "
            + $"give the planting the need of its variety, or log what you see.";

    private static Sentence Need(StageNeeds needs) => needs.Chill switch
    {
        ChillModel.Portions => $"{needs.ChillNeed:0.#} portions",
        ChillModel.Hours => $"{needs.ChillNeed:0.#} hours",
        ChillModel.Utah or ChillModel.PositiveUtah => $"{needs.ChillNeed:0.#} units",
    };
}
