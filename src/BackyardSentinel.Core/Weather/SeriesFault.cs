using BackyardSentinel.Garden;
using BackyardSentinel.Units;
using BackyardSentinel.Wording;

namespace BackyardSentinel.Weather;

/// <summary>What is wrong with what a series says, as far as its values tell.</summary>
public enum SeriesFault
{
    /// <summary>Everything it says is refused.</summary>
    AllRefused,

    /// <summary>Temperature in °F taken for °C.</summary>
    LooksFahrenheit,

    /// <summary>Temperature in °C taken for °F.</summary>
    LooksCelsius,

    /// <summary>Temperature that moves further in a day than air does: tenths, or a sensor that leaps.</summary>
    LeapsTooFar,

    /// <summary>Humidity of 0 to 1 taken for percent.</summary>
    LooksFraction,

    /// <summary>Leaf wetness that stays below its limit in the rain.</summary>
    NeverWet,

    /// <summary>Leaf wetness that stays above its limit in dry air.</summary>
    NeverDry,

    /// <summary>Humidity says saturated through a dry day that warms and cools.</summary>
    StaysSaturated,

    /// <summary>Rain in inches taken for mm.</summary>
    LooksInches,

    /// <summary>Rain beyond any day's: mm taken for inches, or a wrong scale.</summary>
    TooMuchRain,

    /// <summary>A running total taken for amounts.</summary>
    LooksTotal,
}

/// <summary>A series whose values cannot be right. While it stands the series is not used.</summary>
/// <param name="Quantity">What it should measure.</param>
/// <param name="Rank">Its place in the order of preference.</param>
/// <param name="Fault">What is wrong, as far as the values tell.</param>
/// <param name="Since">The clock hour in which it was noticed, UTC.</param>
/// <param name="Lowest">Lowest value of the time it was judged by, in the quantity's unit.</param>
/// <param name="Highest">Highest value of that time.</param>
public sealed record SeriesDoubt(Quantity Quantity, int Rank, SeriesFault Fault, DateTimeOffset Since, double Lowest, double Highest)
{
    /// <summary>The fault as templates and machines know it: <c>looks-fahrenheit</c>.</summary>
    public string Word => Fault switch
    {
        SeriesFault.AllRefused => "all-refused",
        SeriesFault.LooksFahrenheit => "looks-fahrenheit",
        SeriesFault.LooksCelsius => "looks-celsius",
        SeriesFault.LeapsTooFar => "leaps-too-far",
        SeriesFault.LooksFraction => "looks-fraction",
        SeriesFault.NeverWet => "never-wet",
        SeriesFault.NeverDry => "never-dry",
        SeriesFault.StaysSaturated => "stays-saturated",
        SeriesFault.LooksInches => "looks-inches",
        SeriesFault.TooMuchRain => "too-much-rain",
        SeriesFault.LooksTotal => "looks-total",
    };

    /// <summary>What was seen, as a sentence part that begins with the quantity.</summary>
    /// <param name="units">The grower's units; where the unit itself is in question, the figures stand as they came.</param>
    public Sentence Seen(UnitSystem units)
    {
        var came = Range(new Figure(UnitHint.Figure(Lowest)), new Figure(UnitHint.Figure(Highest)));
        var range = Range(new Figure(units.Said(Quantity, Lowest)), new Figure(units.Said(Quantity, Highest)));
        return Fault switch
        {
            SeriesFault.AllRefused =>
                $"{Quantity.Said()} {range}: all of it is refused, for it "
                    + $"{QualityControl.Why(Quantity, Highest, QualityVerdict.Impossible, units)}",
            SeriesFault.LooksFahrenheit => $"temperature {came} looks like °F, not °C",
            SeriesFault.LooksCelsius =>
                $"temperature {new Figure(units.TemperatureFigure(Lowest))} to {new Figure(units.Temperature(Highest))} is far too "
                    + $"cold for the time of year: it looks like °C that was taken for °F",
            SeriesFault.LeapsTooFar => $"temperature {range} within a day: air does not change so far",
            SeriesFault.LooksFraction => $"humidity {came} looks like a share of 1, not percent",
            SeriesFault.NeverWet => $"leaf wetness {came} stays below its limit although it rains",
            SeriesFault.NeverDry => $"leaf wetness {came} never turns dry by its limits although the air is dry",
            SeriesFault.StaysSaturated => $"humidity {range} does not fall although the air warms and cools again without rain",
            SeriesFault.LooksInches => $"rain in steps of {new Figure(UnitHint.Figure(Lowest))} looks like inches, not mm",
            SeriesFault.TooMuchRain => $"rain of {new Figure(units.Rain(Highest))} within a day is more than falls",
            SeriesFault.LooksTotal =>
                $"rain {range} comes again and again without falling back: it looks like a running total, not like amounts",
        };
    }

    /// <summary>What to look at in the garden file, as a sentence part.</summary>
    public Sentence Remedy =>
        Fault switch
        {
            SeriesFault.AllRefused => $"look at the sensor, then at unit and scale of its series",
            SeriesFault.LooksFahrenheit => $"set unit: F for its series",
            SeriesFault.LooksCelsius => $"take unit: F from its series",
            SeriesFault.LeapsTooFar => $"are they tenths (scale: 0.1)? If not, look at the sensor",
            SeriesFault.LooksFraction => $"set unit: fraction for its series",
            SeriesFault.NeverWet =>
                $"set wet_on to a value that the sensor reaches when wet, such as 7 for counts of 0 to 15, or look at the sensor",
            SeriesFault.NeverDry =>
                $"set wet_on and wet_off so that its value in dry air lies on the dry side of both, or set inverted: true where "
                    + $"the value falls when the leaf is wet",
            SeriesFault.StaysSaturated => $"look at the sensor: it is wet inside or worn out",
            SeriesFault.LooksInches => $"set unit: in for its series, or state unit: mm if it is right",
            SeriesFault.TooMuchRain => $"look at unit, scale and counts of its series",
            SeriesFault.LooksTotal => $"set counts: total for its series",
        };

    private Sentence Range(Figure low, Figure high) => Lowest == Highest ? (Sentence)$"{low}" : $"{low} to {high}";
}
