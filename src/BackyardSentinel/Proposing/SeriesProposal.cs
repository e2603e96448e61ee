using BackyardSentinel.Garden;
using BackyardSentinel.Units;
using BackyardSentinel.Weather;
using BackyardSentinel.Wording;

namespace BackyardSentinel.Proposing;

/// <summary>A series that the garden file could have, and what speaks for it.</summary>
/// <param name="Heard">What was heard.</param>
/// <param name="Guess">What it probably is.</param>
/// <param name="Block">Its lines in the garden file, tried on what was heard.</param>
/// <param name="Gives">What the block gives of the last message, in the quantity's unit; <c>null</c>: a first total, from which
/// counting begins.</param>
/// <param name="Doubts">What to look at.</param>
internal sealed record SeriesProposal(
    HeardSeries Heard, SensorGuess Guess, SeriesBlock Block, double? Gives, IReadOnlyList<Sentence> Doubts)
{
    /// <summary>Proposes a series; <c>null</c> with the reason where none can be.</summary>
    /// <param name="heard">What was heard.</param>
    /// <param name="unit">The unit that its device told elsewhere.</param>
    /// <param name="zone">The zone of the garden, for sensors whose times tell none; <c>null</c>: it is not known.</param>
    /// <param name="whyNot">Why there is none, a sentence part.</param>
    public static SeriesProposal? Of(HeardSeries heard, string? unit, string? zone, out Sentence? whyNot)
    {
        var traits = heard.Traits(unit);
        if (SensorJudge.Guess(traits, out whyNot) is not { } guess)
            return null;
        // A scale that would make a garden's weather of it is no scale of the sensor's.
        if (heard is { Filler: { } only, Last: double.NaN })
        {
            whyNot = $"it only sent {new Figure(UnitHint.Figure(only))}, which mostly stands for no reading";
            return null;
        }

        List<Sentence> doubts = [.. guess.Doubts];
        var time = heard.Seen.TimePath;
        var needsZone = heard.Seen.TimeNeedsZone;
        if (time is not null && needsZone && zone is null)
        {
            doubts.Add($"Its time {new Name(time)} tells no zone and is left out: write time: {new Name(time)} and the sensor's zone.");
            time = null;
        }

        var isEach = heard.Seen.Path?.Contains("[*]", StringComparison.Ordinal) == true;
        if (isEach && time is null && heard.Seen.TimePath is not null)
        {
            whyNot = $"several values come in one message with times that tell no zone, and no garden file tells the garden's";
            return null;
        }

        var block = SeriesBlock.Of(heard, guess, time, needsZone ? zone : null);
        var trial = block.Try(heard);
        if (trial.TimeFault is { } fault && !isEach)
        {
            doubts.Add($"Its time {new Name(time!)} is left out: {fault}.");
            block = SeriesBlock.Of(heard, guess, null, null);
            trial = block.Try(heard);
        }

        if (trial.Fault is not null)
        {
            whyNot = trial.Fault;
            return null;
        }

        if (heard.Filler is { } filler)
            doubts.Add($"It also sent {new Figure(UnitHint.Figure(filler))}, which mostly stands for no reading.");
        if (heard.Retained == heard.Messages && time is null)
            doubts.Add($"It came as the broker's kept copy only, of unknown age; such a copy is not counted, so see that new ones come.");
        whyNot = null;
        return new SeriesProposal(heard, guess, block, trial.Gives, doubts);
    }

    /// <summary>What the block gives, with its unit.</summary>
    public Sentence GivesInWords =>
        Gives is { } value
            ? $"{Guess.Quantity.Said()} {new Figure(FormattableString.Invariant($"{value:0.##}{UnitBehind}"))}"
        : Guess.Rain == RainCount.Rate ? (Sentence)$"the first rate, from which rain is counted on"
        : $"the first total, from which rain is counted on";

    private string UnitBehind => Guess.Quantity.Facts().Dimension switch
    {
        Dimension.Temperature => " °C",
        Dimension.Share => " %",
        Dimension.Depth => " mm",
        Dimension.Speed => " m/s",
        _ => "",
    };
}
