using BackyardSentinel.Weather;
using static System.Math;

namespace BackyardSentinel.Phenology;

/// <summary>
/// Chill portions by the two-step Dynamic Model: cold builds up an intermediate product, which warmth destroys again until
/// there is enough of it to be fixed as a portion. Fishman, Erez and Couvillon 1987 (J. Theor. Biol. 124, 473–483 and
/// 126, 309–321); constants of Erez and others 1990 as three open-source implementations share them, the papers not being
/// at hand. The first part of the season needs no careful start: at a constant 13 °C and above no portion is ever fixed.
/// </summary>
/// <remarks>
/// The step is one hour, and is part of the model: shorter steps would ask more often whether there is enough to be fixed
/// and count cold hours several times (about 2–3 % more portions in a winter at 15 minutes). Hand in means over whole
/// clock hours, in order, without holes.
/// </remarks>
public sealed class DynamicModel
{
    /// <summary>Activation energies over the gas constant, K: of building up and of destroying.</summary>
    private const double E0 = 4153.5, E1 = 12888.8;

    /// <summary>Rates at infinite temperature, 1/h.</summary>
    private const double A0 = 139_500, A1 = 2.567e18;

    /// <summary>Steepness, 1, and temperature, K, of the fixing step.</summary>
    private const double Slope = 1.6, FixingK = 277;

    /// <summary>Added to °C. Not 273.15: the constants were fitted with this one.</summary>
    private const double ZeroCelsiusK = 273;

    /// <summary>Chill portions fixed since the start; 0 or more, some tens to a hundred in a winter.</summary>
    public double Portions { get; private set; }

    /// <summary>The intermediate product carried into the next hour, in portions; 0 or more.</summary>
    public double Intermediate { get; private set; }

    /// <summary>Adds the next hour.</summary>
    /// <param name="hourMeanTempC">
    /// Mean air temperature of the clock hour, °C; NaN or a value outside -100 to 100 °C throws
    /// <see cref="ArgumentOutOfRangeException"/>.
    /// </param>
    /// <returns>The portion fixed in this hour: 0 in most.</returns>
    public double Add(double hourMeanTempC) => Add(StepAt(hourMeanTempC));

    /// <summary>What an hour at a temperature does to the intermediate product, whatever it is.</summary>
    /// <param name="Balance">Where it tends to.</param>
    /// <param name="Kept">The share of the way there that is still left after the hour.</param>
    /// <param name="FixedShare">The share of it that is fixed once there is enough.</param>
    internal readonly record struct Step(double Balance, double Kept, double FixedShare);

    /// <summary>The step of an hour: the costly part of <see cref="Add(double)"/>, for several models at one temperature.</summary>
    internal static Step StepAt(double hourMeanTempC)
    {
        Psychrometrics.RequireTemperature(hourMeanTempC);
        var kelvin = hourMeanTempC + ZeroCelsiusK;
        return new Step(
            A0 / A1 * Exp((E1 - E0) / kelvin),
            Exp(-(A1 * Exp(-E1 / kelvin))),
            1 / (1 + Exp(-Slope * FixingK * (kelvin - FixingK) / kelvin)));
    }

    /// <summary>Adds the next hour by its step.</summary>
    internal double Add(in Step step)
    {
        Intermediate = step.Balance - ((step.Balance - Intermediate) * step.Kept);
        if (Intermediate < 1)
            return 0;

        var portion = step.FixedShare * Intermediate;
        Intermediate -= portion;
        Portions += portion;
        return portion;
    }

    /// <summary>Hours are missing: goes on with so much of the intermediate product, in portions; 0 or more.</summary>
    internal void StartWith(double intermediate) => Intermediate = intermediate;

    /// <summary>A model in the same state that goes its own way from here: for looking ahead.</summary>
    public DynamicModel Copy() => (DynamicModel)MemberwiseClone();
}
