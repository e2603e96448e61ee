using BackyardSentinel.Garden;
using BackyardSentinel.Units;
using BackyardSentinel.Wording;

namespace BackyardSentinel.Weather;

/// <summary>Judges what a sensor's number probably is, by its name, its unit and what came of it.</summary>
public static class SensorJudge
{
    /// <summary>Guesses what a number is; <c>null</c> with the reason where it is no weather that is read, or nobody can tell.</summary>
    /// <param name="seen">What is seen of it.</param>
    /// <param name="whyNot">Why there is no guess, a sentence part.</param>
    public static SensorGuess? Guess(SensorTraits seen, out Sentence? whyNot)
    {
        if (SensorNames.Strange(seen.Names) is { } strange)
        {
            whyNot = strange;
            return null;
        }

        var (unit, perHour) = SensorNames.UnitOf(seen.UnitText);
        // A number with a name of its own that says something else is not what its topic says.
        var isOther = seen.OwnNames > 0 && !SensorNames.IsNeutral(seen.Names[0]) && SensorNames.QuantityOf([seen.Names[0]]) is null;
        var named = isOther ? null : SensorNames.QuantityOf(seen.Names);
        // What can be told in a unit says more than nothing, and less than a name.
        var quantity = named?.Quantity ?? QuantityOf(unit, seen);
        if (quantity is not { } known)
        {
            whyNot = unit is null && seen.UnitText is { } text && seen.UnitIsBehind
                ? $"{Quoted(text)} is no unit of anything that is read here"
                : isOther ? (Sentence)$"{Quoted(seen.Names[0])} does not tell what it is"
                : $"neither its name nor a unit tells what it is";
            return null;
        }

        if (unit is not null && !known.Facts().Units.Contains(unit))
        {
            if (seen.UnitIsBehind)
            {
                whyNot = $"it is in {new Name(seen.UnitText!)}, which is no unit of {known.Said()}";
                return null;
            }

            (unit, perHour) = (null, false);
        }

        var scaled = SensorScale.Of(known, unit, perHour, named, seen, out whyNot);
        return scaled;
    }

    private static Name Quoted(string name) => new($"\"{name}\"");

    private static Quantity? QuantityOf(Unit? unit, SensorTraits seen) => unit?.Dimension switch
    {
        Dimension.Temperature => Quantity.Temperature,
        Dimension.Depth => Quantity.Rain,
        Dimension.Speed => Quantity.WindSpeed,
        Dimension.Share when unit == Unit.Percent => Quantity.Humidity,
        _ when seen.IsWord && seen.Names.Any(SensorNames.IsOfLeaf) => Quantity.LeafWetness,
        _ => null,
    };
}
