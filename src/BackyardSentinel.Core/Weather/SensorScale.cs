using System.Globalization;
using BackyardSentinel.Garden;
using BackyardSentinel.Units;
using BackyardSentinel.Wording;

namespace BackyardSentinel.Weather;

/// <summary>Finds the unit and scale in which a number is right for what it measures, once that is known or guessed.</summary>
internal static class SensorScale
{
    /// <summary>A tip of the usual gauges is 0.2 mm, 0.254 mm or 0.2794 mm (common practice, no source).</summary>
    private const double UsualTipMm = 0.2;

    /// <summary>A count of 0 to 15 is wet from about its half on (assumed).</summary>
    private const double UsualWetCount = 7;

    /// <summary>From here on an unlabelled temperature may be °F, up to where it can be nothing else.</summary>
    private const double MaybeFahrenheit = 30;

    private const double MostCelsius = 60, MostFahrenheit = 135;

    /// <summary>More rain than this does not fall between two messages, so it is a total (assumed).</summary>
    private const double MostEachMm = 30;

    /// <summary>
    /// So much does not fall twice in a row to the very hundredth, so it is a total (assumed); less may be the same tip again.
    /// </summary>
    private const double LeastRepeatedMm = 5;

    /// <summary>No gauge counts so far (assumed).</summary>
    private const double MostTotal = 1e9;

    public static SensorGuess? Of(
        Quantity quantity, Unit? told, bool perHour, SensorNames.Named? named, SensorTraits seen, out Sentence? whyNot)
    {
        List<string> because = [];
        List<Sentence> doubts = [];
        if (named is not null)
            because.Add($"\"{named.Name}\" says so");
        var unit = told;
        if (unit is not null)
            because.Add($"the message says {seen.UnitText}");
        else if (named is not null)
            unit = UnitIn(quantity, named.Name, ref perHour) ?? UnitIn(quantity, seen.Names[0], ref perHour);
        perHour |= quantity == Quantity.Rain && SensorNames.Has(seen.Names.Take(2).ToList(), "rate", "intensity");
        if (seen.IsUnnamed)
            doubts.Add($"The message has numbers without names: which is which only its maker can say.");
        var guess = new SensorGuess(quantity, unit ?? Unit.Raw, Sureness.Guess, because, doubts);
        guess = quantity switch
        {
            Quantity.Temperature => Temperature(guess, unit, seen),
            Quantity.Humidity => Humidity(guess, unit, named is not null, seen),
            Quantity.Rain => Rain(guess, unit, perHour, seen),
            Quantity.WindSpeed => Wind(guess, unit),
            _ => Leaf(guess, unit, seen),
        };
        whyNot = Fault(guess, seen);
        if (whyNot is not null)
            return null;
        var isNamed = named is { IsLetter: false };
        return guess with
        {
            Sureness = doubts.Count > 0 || named is null ? Sureness.Guess
                : isNamed && (unit is not null || IsPlain(guess, seen)) ? Sureness.Sure
                : Sureness.Likely,
        };
    }

    private static bool IsPlain(SensorGuess guess, SensorTraits seen) =>
        seen.IsWord || (guess is { Quantity: Quantity.Humidity, Scale: 1 } && guess.Unit == Unit.Percent && seen.Highest > 1);

    private static SensorGuess Temperature(SensorGuess guess, Unit? unit, SensorTraits seen)
    {
        var (low, high) = (seen.Lowest, seen.Highest);
        var doubts = (List<Sentence>)guess.Doubts;
        if (seen.Names.Any(SensorNames.IsOfLeaf))
            doubts.Add($"It is the temperature of a leaf, and not of the air.");
        if (unit is not null)
            return guess with { Unit = unit };
        switch (high)
        {
            case <= MostCelsius when low >= Quantities.MinTemperatureC:
                if (high >= MaybeFahrenheit)
                    doubts.Add($"No unit is told. Unless it is {Figure(high)} °C there, write unit: °F.");
                return guess with { Unit = Unit.Celsius };
            case <= MostFahrenheit when low >= Quantities.MinTemperatureC:
                doubts.Add($"No unit is told; in °C no garden is so warm.");
                return guess with { Unit = Unit.Fahrenheit };
            default:
                break;
        }

        if (!seen.AreWhole && low >= 213 && high <= 333)
        {
            doubts.Add($"No unit is told; as kelvins it would be a garden's temperature.");
            return guess with { Unit = Unit.Kelvin };
        }

        var scale = Math.Max(Math.Abs(low), high) <= 600 ? 0.1 : 0.01;
        doubts.Add(
            scale == 0.1
                ? $"No unit is told; as tenths of a degree it would be a garden's temperature."
                : (Sentence)$"No unit is told; as hundredths of a degree it would be a garden's temperature.");
        return guess with { Unit = Unit.Celsius, Scale = scale };
    }

    private static Unit? UnitIn(Quantity quantity, string name, ref bool perHour)
    {
        var unit = SensorNames.UnitIn(quantity, name, out var isRate);
        perHour |= isRate;
        return unit is not null && quantity.Facts().Units.Contains(unit) ? unit : null;
    }

    private static SensorGuess Humidity(SensorGuess guess, Unit? unit, bool isNamed, SensorTraits seen)
    {
        var doubts = (List<Sentence>)guess.Doubts;
        if (unit is not null)
        {
            // A percent sign is on many things.
            if (!isNamed && unit == Unit.Percent)
                doubts.Add($"Only the sign % says so; a battery and soil have one too.");
            return guess with { Unit = unit };
        }

        switch (seen.Highest)
        {
            case <= 1:
                doubts.Add($"No unit is told; up to 1 it would be a share of 1.");
                return guess with { Unit = Unit.Fraction };
            case <= Quantities.MaxHumidityPct:
                return guess with { Unit = Unit.Percent };
            default:
                var scale = seen.Highest <= 1050 ? 0.1 : 0.01;
                doubts.Add(
                    scale == 0.1
                        ? $"No unit is told; as tenths of a percent it would be a humidity."
                        : (Sentence)$"No unit is told; as hundredths of a percent it would be a humidity.");
                return guess with { Unit = Unit.Percent, Scale = scale };
        }
    }

    private static SensorGuess Rain(SensorGuess guess, Unit? unit, bool perHour, SensorTraits seen)
    {
        var doubts = (List<Sentence>)guess.Doubts;
        // What tells millimetres, or has parts of one, counts no tips, whatever the gauge is called.
        var isTips = unit is null && seen.AreWhole && SensorNames.Has(seen.Names, "tip", "tips", "tipping");
        if (unit is null && !isTips)
            doubts.Add($"No unit is told; mm is assumed.");
        guess = guess with { Unit = unit ?? Unit.Millimetre };
        if (isTips)
        {
            doubts.Add($"What one tip is worth stands on the gauge; 0.2 mm is assumed (others: 0.254 and 0.2794 mm).");
            guess = guess with { Scale = UsualTipMm };
        }

        if (perHour)
            return guess with { Rain = RainCount.Rate };
        var (byName, isEach) = (
            SensorNames.Has(
                seen.Names, "total", "sum", "daily", "day", "today", "month", "monthly", "year", "yearly", "acc", "accumulated",
                "count", "counter", "event"),
            SensorNames.Has(seen.Names, "last", "since", "delta", "increment"));
        var highestMm = seen.Highest * guess.Scale * guess.Unit.Factor;
        if (byName || isTips || (seen.NeverFell && highestMm > (seen.Repeats > 0 ? LeastRepeatedMm : MostEachMm)))
            return guess with { Rain = RainCount.Total };
        if (!isEach)
            doubts.Add(
                $"Whether it is a total that grows (counts: total) or the rain since the last message shows in rain: listen again then.");
        return guess;
    }

    private static SensorGuess Wind(SensorGuess guess, Unit? unit)
    {
        if (unit is null)
            ((List<Sentence>)guess.Doubts).Add($"No unit is told; m/s is assumed.");
        return guess with { Unit = unit ?? Unit.MetrePerSecond };
    }

    private static SensorGuess Leaf(SensorGuess guess, Unit? unit, SensorTraits seen)
    {
        var doubts = (List<Sentence>)guess.Doubts;
        if (seen.IsWord)
            return guess with { Unit = Unit.Raw };
        if (unit == Unit.Minute)
        {
            if (seen.Every is null)
                doubts.Add($"Over which time the minutes are counted is not told; 10 minutes are assumed.");
            var over = Math.Clamp(
                Math.Round((seen.Every ?? TimeSpan.FromMinutes(10)).TotalMinutes), Math.Max(1, Math.Ceiling(seen.Highest)), 60);
            return guess with { Unit = Unit.Minute, Every = TimeSpan.FromMinutes(over) };
        }

        if (unit == Unit.Percent)
            return guess with { Unit = Unit.Percent };
        if (unit is null && seen is { AreWhole: true, Lowest: >= 0, Highest: <= 1 })
        {
            doubts.Add($"Only 0 and 1 came, so 1 is taken to be wet; on a scale of 0 to 15 or 0 to 100 it would be dry.");
            return guess with { Unit = Unit.WetOrDry };
        }

        if (unit is null && seen is { AreWhole: true, Lowest: >= 0, Highest: <= 15 })
        {
            doubts.Add($"Up to 15 it is taken for a count of 0 to 15, wet from 7 on. Wet the sensor and listen again.");
            return guess with { Unit = Unit.Count, WetOn = UsualWetCount };
        }

        if (unit is null && seen is { Lowest: >= 0, Highest: <= 100 })
        {
            doubts.Add($"No unit is told; up to 100 it is taken for percent, wet from 50 on. Wet the sensor and listen again.");
            return guess with { Unit = Unit.Percent };
        }

        return guess with { Unit = unit ?? Unit.Raw };
    }

    /// <summary>Why such a number cannot be taken.</summary>
    private static Sentence? Fault(SensorGuess guess, SensorTraits seen)
    {
        if (guess.Quantity == Quantity.LeafWetness)
        {
            return guess.WetOn is null
                && !seen.IsWord
                && (guess.Unit == Unit.Raw || guess.Unit == Unit.Millivolt || guess.Unit == Unit.Count)
                ? (Sentence)($"it is leaf wetness in a scale of its own: dry and wet the sensor, see what it sends, "
                    + $"and write wet_on (and inverted: true where it falls when wet)")
                : null;
        }

        // A total is judged by its differences, and those have not come yet.
        if (guess is { Quantity: Quantity.Rain, Rain: RainCount.Total })
            return seen.Lowest < 0
                ? (Sentence)$"rain is never below 0"
                : seen.Highest > MostTotal
                ? (Sentence)$"{Figure(seen.Highest)} is no gauge's total"
                : null;
        var (low, high) = (guess.Unit.ToReckoned(seen.Lowest * guess.Scale), guess.Unit.ToReckoned(seen.Highest * guess.Scale));
        var facts = guess.Quantity.Facts();
        if (low >= facts.Lowest && high <= facts.Highest)
            return null;
        var wrong = low < facts.Lowest ? seen.Lowest : seen.Highest;
        var hint = UnitHint.For(guess.Quantity, guess.Unit.ToReckoned(wrong * guess.Scale), UnitSystem.Metric);
        return hint is null
            ? (Sentence)$"{Figure(wrong)} cannot be {guess.Quantity.Said()}"
            : $"{Figure(wrong)} cannot be {guess.Quantity.Said()}: {hint}";
    }

    private static Figure Figure(double value) =>
        new(value.ToString(Math.Abs(value) >= 1e7 ? "0.###e+0" : "0.###", CultureInfo.InvariantCulture));
}
